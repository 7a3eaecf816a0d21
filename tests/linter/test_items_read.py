"""Which check reads which item of a plan: watched while they judge, and told in DEVELOPERS.md and README.md.

``python tests/linter/test_items_read.py`` writes both anew. What is watched are the plans below; an item that a check reads
only in a case that none of them has is not seen.
"""

from __future__ import annotations

import contextlib
import datetime
import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from functools import partial
from pathlib import Path
from typing import Any

import pytest

import bedfellow.linter
from bedfellow.linter.acceptances import judge_acceptances
from bedfellow.linter.engine import Result, _assumptions, _pinned
from bedfellow.linter.repair.swaps import role_losses
from bedfellow.linter.report import drawings, text
from bedfellow.linter.report.drawings.asked import Asked
from bedfellow.linter.report.drawings.sheet import CannotDraw
from bedfellow.linter.report.handover.document import SECTIONS
from bedfellow.linter.report.handover.pack import pack_of
from bedfellow.linter.settings import Settings, with_plan
from bedfellow.rules.border.border import Border
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import Finding
from bedfellow.schema.decode import plan_from
from bedfellow.schema.items import loaded, table_of
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import Document, read_file, read_text
from bedfellow.traits_db.library import Data
from bedfellow.traits_db.snapshot import open_store

ROOT = Path(__file__).parents[2]
DEMO = Path(bedfellow.linter.__file__).parent / "demo"
FULL = ROOT / "tests" / "schema" / "full.plan.yaml"
START, END = "<!-- items: written by tests/linter/test_items_read.py -->", "<!-- end of items -->"
Item = tuple[str, str]  # class, field
EVERY = "every check"

# What decoding makes of other items: a check that reads the first has read the rest.
MADE_OF: dict[Item, tuple[str, ...]] = {
    ("Line", "at"): (
        "Line.group", "Line.hedge", "Line.per_m", "Line.rows", "Group.middle", "Group.number", "Group.centres", "Mix.outline",
        "Mix.quantity", "Mix.per_m2", "Mix.centres", "Member.share", "Member.number",
    ),
    ("Line", "ground"): (
        "Line.outline", "Structure.outline", "Surface.kind", "Surface.outline", "Surface.points", "Surface.width",
    ),
    ("Line", "name"): ("Plan.mixes", "Mix.matrix", "Mix.mingled", "Mix.scattered", "Member.name"),
    ("Line", "key"): ("Mix.key", "Member.key"),
    ("Line", "supplied"): ("Member.supplied",),
    ("Line", "status"): ("Line.self_sown", "SelfSown.status"),
    ("Site", "ph"): ("Site.ph_measured_in", "Site.samples", "Sample.ph"),
}  # fmt: skip


class Watched:
    """An object of a plan that notes which of its fields are read."""

    def __init__(self, thing: Any, note: Callable[[Item], None]) -> None:
        self._thing, self._note = thing, note

    def __getattr__(self, name: str) -> Any:
        member = getattr(type(self._thing), name)
        if isinstance(member, property):
            assert member.fget
            return member.fget(self)
        if inspect.isfunction(member):
            return partial(member, self)
        self._note((type(self._thing).__name__, name))
        return watched(getattr(self._thing, name), self._note)


def watched(value: Any, note: Callable[[Item], None]) -> Any:
    if isinstance(value, tuple):
        return value if hasattr(value, "_fields") else tuple(watched(entry, note) for entry in value)
    if isinstance(value, dict):
        return {key: watched(entry, note) for key, entry in value.items()}
    return Watched(value, note) if hasattr(value, "extra") else value


def plans() -> Iterator[Document]:
    """The full plan as it is and without a front, and the demo."""
    full = FULL.read_text("utf-8")
    yield read_text(full, "full")
    yield read_text(full.replace("  faces: SW\n", ""), "island bed")
    for path in sorted(DEMO.glob("*.plan.yaml")):
        yield read_file(path)


def readers(store: Any) -> dict[Item, set[str]]:
    """Item → codes of the checks that read it, and what else does."""
    found: dict[Item, set[str]] = {("Plan", "format"): {"schema"}, ("Line", "locked"): {"mend"}}
    who = ""

    def note(item: Item) -> None:
        for name in (".".join(item), *MADE_OF.get(item, ())):
            cls, _, field = name.partition(".")
            found.setdefault((cls, field), set()).add(who)

    for document in plans():
        real, _ = plan_from(document)
        assert real is not None
        plan = watched(real, note)
        said: list[Finding] = []
        for declaration in declarations().values():
            if declaration.judge:
                who = EVERY
                border = Border(plan, store)
                who = declaration.code
                told = declaration.judged(border, declaration.limits())
                said += [entry for entry in told if isinstance(entry, Finding)]
        who = "PLAN-04"
        _assumptions(border)
        who = "PLAN-07"
        _pinned(plan, Data(store, store.version))
        who = "PLAN-06"
        judge_acceptances(plan, said, datetime.date(2026, 11, 25), declarations())
        who = "SWAP-02"
        list(role_losses(border, border, (), {}))
        who = "settings"
        with_plan(Settings(), document, plan.settings)
        who = "report"
        text.report([Result(document, plan, border, tuple(said))])
        who = "drawing"
        for picture in drawings.PICTURES:
            with contextlib.suppress(CannotDraw):
                drawings.drawn(picture, Result(document, plan, border, tuple(said)), Asked())
        who = "handover"
        pack = pack_of(Result(document, plan, border, tuple(said), today="2026-11-25"), "")
        for _, _, told_of in SECTIONS:
            list(told_of(pack))
    return found


def sections(cls: type = Plan, name: str = "plan") -> Iterator[tuple[str, type]]:
    """(where it stands in a plan, class) of everything that has items, in the order of the declaration."""
    yield name, cls
    below: dict[type, list[str]] = {}
    for key, (_, kind) in table_of(cls).forms.items():
        if kind.of:
            below.setdefault(loaded(kind.of), []).append(key)
    for inner, keys in below.items():
        yield from sections(inner, f"{'' if cls is Plan else name + ': '}{', '.join(keys)}")


def rows(found: Mapping[Item, set[str]]) -> Iterator[tuple[str, list[str], str]]:
    """(section, keys, what reads them); keys of a section that are read by the same stand in one row."""
    for section, cls in sections():
        forms = {key: field for key, (field, _) in table_of(cls).forms.items()}
        together: dict[str, list[str]] = {}
        for key, field in (forms or {"value": "value", "reason": "reason"}).items():
            who = found.get((cls.__name__, field), set())
            together.setdefault(EVERY if EVERY in who else ", ".join(sorted(who)), []).append(key)
        for said, keys in together.items():
            yield section, keys, said


def table(found: Mapping[Item, set[str]]) -> str:
    lines = ["| item | keys | read by |", "|---|---|---|"]
    lines += [f"| {section} | {', '.join(keys)} | {said or 'nothing yet'} |" for section, keys, said in rows(found)]
    return "\n".join(lines)


def unread(found: Mapping[Item, set[str]]) -> str:
    """The sentence about what nothing reads; of a section that is not read at all only the key above it."""
    told = list(rows(found))
    read = {section for section, _, said in told if said}
    parts = [f"{section}: {', '.join(keys)}" for section, keys, said in told if not said and section in read]
    return f"Nothing reads these items yet. {'; '.join(parts)}."


def put(name: str, text_between: str) -> str:
    """A document with the part between the marks replaced."""
    old = (ROOT / name).read_text("utf-8")
    return re.sub(f"(?s)({re.escape(START)}\n).*?(\n{re.escape(END)})", lambda m: m[1] + text_between + m[2], old)


@pytest.fixture(scope="module")
def found(store: Any) -> dict[Item, set[str]]:
    return readers(store)


@pytest.mark.parametrize(("name", "words"), [("DEVELOPERS.md", table), ("README.md", unread)])
def test_the_documents_say_what_is_read(found: Any, name: str, words: Any) -> None:
    assert put(name, words(found)) == (ROOT / name).read_text("utf-8"), f"run {Path(__file__).name} to write it anew"


def test_what_is_watched_is_seen(found: Any) -> None:
    assert "LIGHT-01" in found["Site", "latitude"] and "LIGHT-01" in found["Site", "north"]
    assert "SITE-01" in found["Site", "ph"] and "SITE-01" in found["Sample", "ph"]
    assert "TREE-01" in found["Retained", "stems"] and "PLAN-06" in found["Acceptance", "reason"]
    assert (
        EVERY in found["Surface", "width"]
        and ("Brief", "weights") not in found
        and "handover" in found["Mulch", "material"]
    )
    known = {(cls.__name__, field.name) for _, cls in sections() for field in fields(cls)}
    made = {(cls, field) for names in MADE_OF.values() for cls, _, field in (name.partition(".") for name in names)}
    assert found.keys() | set(MADE_OF) | made <= known


if __name__ == "__main__":
    seen = readers(open_store())
    for file, said in (("DEVELOPERS.md", table(seen)), ("README.md", unread(seen))):
        (ROOT / file).write_text(put(file, said), "utf-8")
