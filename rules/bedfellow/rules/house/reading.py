"""House rules read from files: each is a check of the same form as ours, with a condition in place of code."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bedfellow.rules.declaration import Declaration, declared
from bedfellow.rules.house.conditions import BadCondition, NoLanguage, compiled
from bedfellow.rules.words import BadTemplate, names_in
from bedfellow.schema.place import Fault
from bedfellow.schema.reader import Document, read_file
from bedfellow.schema.validity import faults_against

if TYPE_CHECKING:
    from collections.abc import Iterator

HOUSE = ("each", "season", "if", "unless", "evidence")
TOLD = {"plant": ("plant", "key"), "pair": ("first", "second"), "month": ("month",), "plan": ()}


class BrokenRules(ValueError):
    """What is wrong with the house rules of a folder, a line each: file, line, column, and the fault in words."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


def read_rules(
    folders: Iterable[Path], taken: Mapping[str, Declaration], read: Iterable[Document] = ()
) -> dict[str, tuple[Declaration, Document]]:
    """Every house rule of some folders by code, with the file that it was read from. Raises BrokenRules.

    taken: checks that there are, whose codes no house rule may have. read: files that were read before, and are passed
    over: settings may name the folder that a command names too.
    """
    found: dict[str, tuple[Declaration, Document]] = {}
    wrong: list[str] = []
    seen = {Path(document.name).resolve() for document in read}
    for folder in folders:
        files = [folder] if folder.is_file() else sorted(folder.glob("*.yaml"))
        if not files:
            wrong.append(f"{folder}: there are no house rules (files that end in .yaml) here")
        for file in files:
            if file.resolve() in seen:
                continue
            seen.add(file.resolve())
            document = read_file(file)
            try:
                faults = _faults(document, {*taken, *found})
            except NoLanguage as why:
                raise BrokenRules([str(why)]) from None
            wrong += [document.told(fault) for fault in faults]
            if not faults:
                rule = _rule(document.data)
                found[rule.code] = (rule, document)
    if wrong:
        raise BrokenRules(wrong)
    return found


def _rule(data: Mapping[str, Any]) -> Declaration:
    house = {name: data[name] for name in HOUSE if name in data}
    return declared(
        {**{name: value for name, value in data.items() if name not in (*HOUSE, "examples")}, "house": house}
    )


def _faults(document: Document, codes: set[str]) -> list[Fault]:
    found = [*document.faults, *faults_against(document, "check")]
    data = document.data
    if found or not isinstance(data, dict):
        return found
    return list(_of_rule(document, data, codes))


def _of_rule(document: Document, data: Mapping[str, Any], codes: set[str]) -> Iterator[Fault]:
    def fault(message: str, *path: str, key: bool = False) -> Fault:
        return Fault("PLAN-02", path, document.key_span(path) if key else document.span(path), message)

    if "judge" in data:
        yield fault("a house rule runs no code: state its condition under 'if'", "judge", key=True)
    for name in ("each", "if", "says"):
        if name not in data:
            yield fault(f"'{name}' is missing")
    if data["code"] in codes:
        yield fault(f"there is a check {data['code']} already; a house rule has a code of its own", "code")
    if not data.get("examples"):
        yield fault(
            "'examples' is missing: a rule shows at least one plan in which it finds something and one in which it does not"
        )
    if "each" not in data or "if" not in data:
        return
    each, settings = data["each"], data.get("settings") or {}
    for name in data.get("unless") or {}:
        if name not in (data.get("right_when") or {}):
            yield fault(f"'{name}' is not told under 'right_when'", "unless", name, key=True)
    places = [
        ("if",),
        *(("unless", name) for name in data.get("unless") or {}),
        *(("evidence", n) for n in data.get("evidence") or {}),
    ]
    for place in places:
        text = data[place[0]] if len(place) == 1 else data[place[0]][place[1]]
        try:
            compiled(text, each, settings)
        except NoLanguage:
            raise
        except BadCondition as bad:
            yield fault(f"'{' '.join(text.split())[:60]}' {bad}", *place)
    known = {*TOLD[each], *(data.get("evidence") or {}), "season"}
    for name in ("says", "advises"):
        if name not in data:
            continue
        if not isinstance(data[name], str):
            yield fault("a house rule says one thing: a text, not one by case", name)
            continue
        try:
            unknown = [word for word in names_in(data[name]) if word not in known]
        except BadTemplate as bad:
            yield fault(str(bad), name)
            continue
        yield from (
            fault(f"{{{word}}} is neither evidence nor one of {', '.join(sorted(known))}", name) for word in unknown
        )
