"""Twenty plans broken by known faults: ``python tests/linter/repair/test_broken_plans.py`` tells how each is mended.

Each is a plan that has no error, with plants moved, swapped or dropped, a number, a name or a month that is wrong. Told are
the errors before and after, the repairs, and how far the text mended is from the one before it was broken: values that differ.
"""

from __future__ import annotations

import datetime
import sys
import time
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.cli import DEMO
from bedfellow.linter.engine import Options, lint_document
from bedfellow.linter.repair.mending import TOLD, Mended, mend
from bedfellow.rules.finding import LEVELS, Finding, Level
from bedfellow.schema.reader import read_text
from bedfellow.traits_db.snapshot import Store, open_store

OPTIONS = Options(today=datetime.date(2026, 11, 25))
PRECISION = Path(__file__).parents[2] / "precision"
ORCHARD, HARROW, KRANICH = (
    DEMO / "orchard-gate-mended.plan.yaml", PRECISION / "harrow-barn.plan.yaml", PRECISION / "kranichhof.plan.yaml",
)  # fmt: skip


class Broken(NamedTuple):
    """A plan, what of its text is replaced by what, the codes that tell it, whether mending may change the design, and at
    which level it mends; left: codes that nothing mends yet."""

    plan: Path
    faults: tuple[tuple[str, str], ...]
    codes: tuple[str, ...]
    design: bool = False
    level: Level = "error"
    left: tuple[str, ...] = ()


BROKEN: dict[str, Broken] = {
    "a shrub moved beside another": Broken(ORCHARD, (("at: [4.3, 2.6]", "at: [2.3, 2.4]"),), ("SPACE-01",), False, "warning"),
    "a shrub moved across the bed": Broken(ORCHARD, (("at: [8.6, 2.5]", "at: [5.0, 2.9]"),), ("SPACE-01",), True, "warning"),
    "four times as many": Broken(ORCHARD, (("centres: 40 cm, quantity: 8", "centres: 40 cm, quantity: 30"),), ("STOCK-02",)),
    "a name misspelt": Broken(ORCHARD, (("Cornus mas,", "Cornus mass,"),), ("STOCK-03",)),
    "the wires left out": Broken(ORCHARD, (("wires: yes", "wires: no"),), ("CLIMB-01",)),
    "swapped for a lime-hater": Broken(ORCHARD, (("Viburnum tinus", "Rhododendron 'Koichiro Wada'"),), ("SITE-01",), True),
    "a schedule that says otherwise": Broken(ORCHARD, (("plants:\n", "schedule: [{key: HyH, quantity: 9}]\nplants:\n"),), ("STOCK-01",)),
    "out before the frost": Broken(
        ORCHARD,
        (("shrinkable: no", "shrinkable: no, last_frost: 05-10"),
         ("- {key: SeA,", "- {key: CoB, name: Cosmos bipinnatus, at: [5.0, 1.8], out: 04-12, traits: {half_hardy: {value: yes, reason: always so here}}}\n- {key: SeA,")),
        ("FILL-05",),
    ),
    "swapped for one that eats at a cat": Broken(ORCHARD, (("Hylotelephium 'Herbstfreude'", "Lilium regale"),), ("SAFE-01",), True, "warning", ("SAFE-01", "CARE-04")),
    "moved, misspelt and miscounted": Broken(
        ORCHARD,
        (("at: [4.3, 2.6]", "at: [2.4, 2.5]"), ("Alchemilla mollis", "Alchemila mollis"), ("centres: 40 cm, quantity: 8", "centres: 40 cm, quantity: 3")),
        ("SPACE-01", "STOCK-02", "STOCK-03"), False, "warning",
    ),
    "a rose moved into its neighbour": Broken(HARROW, (("at: [4.3, 2.6]", "at: [1.9, 2.6]"),), ("SPACE-01",), True, "warning"),
    "a root ball in July": Broken(
        HARROW, (("at: [1.3, 2.5], supplied: 10 L, root_form: container", "at: [1.3, 2.5], supplied: 60-80 cm, root_form: root-balled, delivery: 2027-07"),),
        ("STOCK-05",),
    ),
    "a cultivar misspelt": Broken(HARROW, (("Phlox paniculata 'David'", "Phlox paniculata 'Dawid'"),), ("STOCK-03",)),
    "the schedule short of bulbs": Broken(
        HARROW, (("tasks:\n", "schedule:\n- {key: CrT, quantity: 5, price: 0.2}\n- {key: OsB, quantity: 1}\ntasks:\n"),), ("STOCK-01",)
    ),
    "evergreens dropped": Broken(
        HARROW,
        (("- {key: OsB, name: Osmanthus × burkwoodii, at: [1.3, 2.5], supplied: 10 L, root_form: container}\n", ""),
         ("- {key: ViT, name: Viburnum tinus, at: [7.5, 2.5], supplied: 10 L, root_form: container}\n", ""),
         ("- {key: TaB, name: Taxus baccata, at: [[3.2, 1.45], [5.4, 1.45]], supplied: 10 L, root_form: container, clipped: {height: 0.9, width: 0.8, from: 3, months: [8]}}\n", ""),
         ("- {task: clip the yews, plants: [TaB], month: 8, every: 1}\n", "")),
        ("WINTER-02", "LAYER-03"), True, "warning", ("LAYER-03",),
    ),
    "a shrub moved onto another": Broken(KRANICH, (("at: [7.3, 2.4]", "at: [3.0, 2.4]"),), ("SPACE-01",), True, "warning", ("SPACE-01",)),
    "swapped for one of other soil and light": Broken(KRANICH, (("Syringa meyeri 'Palibin'", "Camellia japonica"),), ("SITE-01", "LIGHT-02"), True, "warning"),
    "cut down in the wrong month": Broken(KRANICH, (("NeF, NeG], month: 3", "NeF, NeG], month: 10"),), ("WINTER-03",), False, "warning"),
    "a climber against the wall": Broken(HARROW, (("at: [2.9, 3.25]", "at: [2.9, 3.5]"),), ("CLIMB-02",), False, "warning"),
    "three at once": Broken(
        KRANICH,
        (("at: [2.5, 2.3]", "at: [5.4, 2.4]"), ("Stachys byzantina", "Stachis byzantina"),
         ("- {key: NeF, name: Nepeta × faassenii, outline: [[4.7, 0.95], [6.0, 0.95], [6.0, 1.7], [4.7, 1.7]], quantity: 8",
          "- {key: NeF, name: Nepeta × faassenii, outline: [[4.7, 0.95], [6.0, 0.95], [6.0, 1.7], [4.7, 1.7]], centres: 35 cm, quantity: 24")),
        ("SPACE-01", "STOCK-02", "STOCK-03"), True, "warning",
    ),
}  # fmt: skip


def text_of(broken: Broken) -> str:
    text = broken.plan.read_text("utf-8")
    for old, new in broken.faults:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def findings(text: str, store: Store, least: Level = "error") -> list[Finding]:
    found = lint_document(read_text(text, "a.plan.yaml"), store, OPTIONS).findings
    return [f for f in found if LEVELS.index(f.level) >= LEVELS.index(least) and f.code not in TOLD]


def mended(broken: Broken, store: Store) -> Mended:
    return mend(read_text(text_of(broken), "a.plan.yaml"), store, OPTIONS, broken.level, broken.design)


def values(data: Any, path: tuple[Any, ...] = ()) -> dict[tuple[Any, ...], Any]:
    """Every single value by where it stands; plants by their keys."""
    if isinstance(data, dict):
        return {at: v for key, value in data.items() for at, v in values(value, (*path, key)).items()}
    if isinstance(data, list):
        named = [item.get("key", n) if isinstance(item, dict) else n for n, item in enumerate(data)]
        return {at: v for key, value in zip(named, data, strict=True) for at, v in values(value, (*path, key)).items()}
    return {path: data}


def apart(one: str, other: str) -> int:
    """Values that the two texts do not share."""
    a, b = (values(read_text(text, "a").data) for text in (one, other))
    return sum(a.get(at) != b.get(at) for at in a.keys() | b.keys())


@pytest.mark.parametrize("name", [name for name in BROKEN if name != "evergreens dropped"])  # that takes long
def test_a_broken_plan_is_mended(name: str, store: Store) -> None:
    broken = BROKEN[name]
    text = text_of(broken)
    before = findings(text, store, "warning")
    assert set(broken.codes) <= {f.code for f in before}
    found = mended(broken, store)
    after = findings(found.document.text, store, "warning")
    assert not [f for f in after if f.level == "error"]
    assert {left.finding.code for left in found.left} == set(broken.left) and all(left.against for left in found.left)
    assert set(broken.codes) & {f.code for f in after} <= set(broken.left)
    # A name that is found again brings back what was right or wrong of its plant before.
    brought = {fingerprint(f) for f in after} - {fingerprint(f) for f in before}
    assert not brought or "STOCK-03" in broken.codes


def main() -> None:
    store = open_store()
    errors = mended_errors = whole = 0
    for name, broken in BROKEN.items():
        text, start = text_of(broken), time.process_time()
        found = mended(broken, store)
        took = time.process_time() - start
        before, after = findings(text, store, broken.level), findings(found.document.text, store, broken.level)
        broke = bool(findings(text, store))
        errors, mended_errors = errors + broke, mended_errors + (broke and not findings(found.document.text, store))
        whole += not after
        edits = sum(len(done.repair.edits) for done in found.done)
        far = apart(found.document.text, broken.plan.read_text("utf-8"))
        print(
            f"{name}: {len(before)} → {len(after)}; {edits} edits, {far} values from the original ({apart(text, broken.plan.read_text('utf-8'))} when broken); {took:.1f} s"
        )
        for done in found.done:
            print(f"    {done.repair.words}: {', '.join(f.code for f in done.findings)}")
        for left in found.left:
            print(f"    left: {left.finding.code}: {'; '.join(left.against)}")
    print(
        f"{mended_errors} of the {errors} with errors mended back to none; {whole} of {len(BROKEN)} to nothing at their level"
    )


if __name__ == "__main__":
    sys.exit(main())
