"""What could stand in a plant's place: each one offered against a lint of the plan with it, and against its traits."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import DEMO, app
from bedfellow.linter.engine import Options, Result
from bedfellow.linter.repair.substitute import substitutes
from bedfellow.schema.colours import difference, lab
from bedfellow.traits_db.search.asked import asked

PLAN = """\
format: 1
planted: 2026-10
site: {latitude: 51.6, faces: S, ph: 7.6, texture: loam, moisture: moist well-drained, minimum_temperature: -9}
border: {outline: [[0, 0], [8, 0], [8, 4], [0, 4]]}
brief: {winter_matters: no, children: [12]}
plants:
- {key: OsB, name: NAME, at: [2, 2.4]}
- {key: CoM, name: Cornus mas, at: [6, 2.4], clear_stem: 0.85}
- {key: SaC, name: Salvia nemorosa 'Caradonna', outline: [[3.2, 0.4], [5, 0.4], [5, 1.2], [3.2, 1.2]], quantity: 9}
"""
OSMANTHUS = PLAN.replace("NAME", "Osmanthus × burkwoodii")


def test_what_is_offered_keeps_the_role_and_is_found_good_by_a_lint(lint_text: Callable[..., Result]) -> None:
    before = lint_text(OSMANTHUS)
    assert before.border is not None
    old = before.border.by_key["OsB"]
    answer = substitutes(before.border, old, [], [], 3, Options())
    assert len(answer.good) == 3
    had = {(f.code, f.keys) for f in before.findings}
    for one in answer.good:
        traits = one.candidate.traits
        ph, cold, flower = (
            traits.tolerance("ph_tolerated"),
            traits.tolerance("minimum_temperature"),
            traits.window("flower"),
        )
        assert (
            ph and ph.lower <= 7.6 <= ph.upper and cold and cold.lower <= -9 and traits.word("foliage") == "evergreen"
        )
        assert flower and min(difference(lab("white"), lab(colour)) for colour in flower.colours) <= 20
        after = lint_text(PLAN.replace("NAME", f'"{traits.name}"'))
        assert not [f for f in after.findings if f.level != "note" and (f.code, f.keys) not in had], traits.name
        assert after.border is not None
        new, was = (border.size(border.by_key["OsB"], 10) for border in (after.border, before.border))
        assert new and was and all(abs(n.typical / w.typical - 1) <= 0.2 + 1e-9 for n, w in zip(new, was, strict=True))
    clipped = lint_text(
        PLAN.replace("NAME, at: [2, 2.4]", "Taxus baccata, at: [2, 2.4], clipped: {height: 0.9, width: 0.8}")
    )
    assert clipped.border is not None
    hedge = substitutes(clipped.border, clipped.border.by_key["OsB"], [], [], 2, Options())
    assert hedge.good and all(one.candidate.traits.yes("breaks_from_old_wood") for one in (*hedge.good, *hedge.near))
    salvia = substitutes(before.border, before.border.by_key["SaC"], [asked("height 30 to 40 cm")], [], 2, Options())
    assert {loss.what for one in salvia.near for loss in one.lost} <= {"height"} and not salvia.good


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("ClE", "--most", "1"), 0, ("These keep its role", "No list of poisonous plants")), (("Cle",), 2, ("nearest: ClE",)),
        (("Viburnum tinus", "lime hates", "--most", "2"), 1, ("No plant of the store",)), (("ViT", "rootz"), 2, ("no trait",)),
    ],
)  # fmt: skip
def test_the_command(
    store: object, filled: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], status: int, told: tuple[str, ...]
) -> None:  # fmt: skip
    monkeypatch.setenv("XDG_CACHE_HOME", str(filled))
    plan = str(DEMO / "orchard-gate-mended.plan.yaml")
    result = CliRunner().invoke(app, ["swap", "find", plan, *words])
    assert result.exit_code == status and all(part in result.output for part in told), result.output
    if status == 0:
        data = json.loads(CliRunner().invoke(app, ["swap", "find", plan, *words, "--format", "json"]).output)
        assert data["role"]["life_form"] == "climber" and data["keep_its_role"][0]["new"] == [] and data["caution"]
