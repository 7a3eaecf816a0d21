"""A check as declared in its YAML file, found by folder: one file a check beside the code of its family."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml
from bedfellow.rules.finding import Finding, Level, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

Judge = Callable[["Border", Mapping[str, Any]], Iterator[Finding | Unjudged]]


@dataclass(frozen=True, slots=True)
class Declaration:
    """One check: what it looks for, how, where the limit comes from, when it is right, how to mend it.

    settings: name to {default, unit, about, basis}; when: name to the case in which the finding would be wrong;
    judge: ``module:function``; empty where the engine itself judges (PLAN).
    whole_plan: judged only when every line of the plan could be read and recognised.
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
    gives_way_to: tuple[str, ...] = ()
    right_when: Mapping[str, str] = None  # type: ignore[assignment]
    mend: str = ""
    caution: str = ""
    whole_plan: bool = False
    examples: tuple[Mapping[str, Any], ...] = ()

    def limits(self) -> dict[str, Any]:
        """Each setting at its default."""
        return {name: setting["default"] for name, setting in self.settings.items()}

    def function(self) -> Judge:
        """The function that judges, imported only now."""
        module, _, name = self.judge.partition(":")
        judge: Judge = getattr(import_module(module), name)
        return judge


def read_declaration(path: Path) -> Declaration:
    """The declaration in a check's YAML file. Raises TypeError or KeyError where it is not in the form."""
    data = yaml.load(path.read_text("utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    data["settings"] = data.get("settings") or {}
    data["right_when"] = data.get("right_when") or {}
    for name in ("seasons", "traits", "gives_way_to", "examples"):
        data[name] = tuple(data.get(name) or ())
    return Declaration(**data)


@cache
def declarations() -> Mapping[str, Declaration]:
    """Every check shipped with the package, by code in order."""
    found = (read_declaration(path) for path in sorted(Path(__file__).parent.glob("*/*-[0-9][0-9].yaml")))
    return {declaration.code: declaration for declaration in found}
