"""A check as declared in its YAML file, found by folder: one file a check beside the code of its family."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import told
from bedfellow.schema.cache import cached

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

Judge = Callable[["Border", Mapping[str, Any]], Iterator[Finding | Unjudged]]
Words = str | Mapping[str, str]
BUILT = Path(__file__).parent / "_built" / "checks.json"


@dataclass(frozen=True, slots=True)
class Declaration:
    """One check: what it looks for, how, where the limit comes from, when it is right, how to mend it.

    settings: name to {default, unit, about, basis}; right_when: name to the case in which the finding would be wrong;
    judge: ``module:function``; empty where the engine itself judges (PLAN, SWAP).
    traits: what a plant must be known by to be judged; life_forms: those that are judged, empty for all.
    says, advises: templates (``words.told``) of the message and of what would mend it, one or several by case; without
    advises, mend stands for it. whole_plan: judged only when every line of the plan could be read and recognised.
    house: the condition of a house rule (``house.conditions``), in place of judge. The file's examples are read by
    ``examples``.
    """

    code: str
    name: str
    level: Level
    summary: str
    found: str
    basis: str
    judge: str = ""
    settings: Mapping[str, Mapping[str, Any]] = None  # type: ignore[assignment]
    seasons: tuple[int, ...] = ()
    traits: tuple[str, ...] = ()
    life_forms: tuple[str, ...] = ()
    gives_way_to: tuple[str, ...] = ()
    right_when: Mapping[str, str] = None  # type: ignore[assignment]
    mend: str = ""
    caution: str = ""
    says: Words = ""
    advises: Words = ""
    whole_plan: bool = False
    house: Mapping[str, Any] | None = None

    @property
    def judges(self) -> bool:
        """It is judged by itself; the engine judges the others."""
        return bool(self.judge) or self.house is not None

    def limits(self) -> dict[str, Any]:
        """Each setting at its default."""
        return {name: setting["default"] for name, setting in self.settings.items()}

    def function(self) -> Judge:
        """The function that judges, imported only now."""
        if self.house is not None:
            from bedfellow.rules.house.conditions import judge as judge_house

            return partial(judge_house, self)
        module, _, name = self.judge.partition(":")
        judge: Judge = getattr(import_module(module), name)
        return judge

    def judged(self, border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
        """What the check says of a border, in the words of its file."""
        return map(self.worded, self.function()(border, limits))

    def worded(self, said: Finding | Unjudged) -> Finding | Unjudged:
        """What was found, in the words of the check's file."""
        if isinstance(said, Unjudged):
            return replace(said, code=self.code)
        return replace(
            said,
            code=self.code,
            message=told(_chosen(self.says, said.case), said.evidence),
            mend=told(_chosen(self.advises, said.case), said.evidence) if self.advises else self.mend,
        )


def _chosen(words: Words, case: str) -> str:
    return words if isinstance(words, str) else words[case]


@cache
def declarations() -> Mapping[str, Declaration]:
    """Every check shipped with the package, by code in order; read from an index that is made once of their files."""
    index = BUILT
    if not index.is_file():
        texts = [path.read_text("utf-8") for path in files_in(Path(__file__).parent)]
        index = cached("checks.json", "\0".join(texts).encode(), lambda target: _write_index(texts, target))
    found = map(declared, json.loads(index.read_text("utf-8")))
    return {declaration.code: declaration for declaration in found}


def examples(check: Declaration) -> list[dict[str, Any]]:
    """The examples in a check's file, as they stand there; of ours or of an installed package."""
    folders = [Path(__file__).parent]
    if check.judge and not check.judge.startswith("bedfellow.rules."):
        folders.append(Path(str(import_module(check.judge.partition(":")[0]).__file__)).parent)
    path = next((path for folder in folders for path in files_in(folder) if path.stem == check.code), None)
    return list(_loaded(path.read_text("utf-8")).get("examples") or ()) if path else []


def read_checks(folder: Path) -> list[Declaration]:
    """The checks of an installed package, from the files in its folder and the folders in that."""
    loaded = (_loaded(file.read_text("utf-8")) for file in files_in(folder))
    return [declared({name: value for name, value in data.items() if name != "examples"}) for data in loaded]


def build_index(target: Path) -> None:
    """Write the index of checks, for a wheel."""
    _write_index([path.read_text("utf-8") for path in files_in(Path(__file__).parent)], target)


def files_in(folder: Path) -> list[Path]:
    """The check files in a folder and in the folders in that."""
    return sorted([*folder.glob("*-[0-9][0-9].yaml"), *folder.glob("*/*-[0-9][0-9].yaml")])


def _write_index(texts: list[str], target: Path) -> None:
    # Examples are read only by who asks for them.
    index = [{name: value for name, value in _loaded(text).items() if name != "examples"} for text in texts]
    target.write_text(json.dumps(index), "utf-8")


def _loaded(text: str) -> dict[str, Any]:
    import yaml

    data: dict[str, Any] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return data


def declared(data: Mapping[str, Any]) -> Declaration:
    """A check from what its file says, without its examples."""
    known = {**data, "settings": data.get("settings") or {}, "right_when": data.get("right_when") or {}}
    for name in ("seasons", "traits", "life_forms", "gives_way_to"):
        known[name] = tuple(data.get(name) or ())
    return Declaration(**known)
