"""A check as declared in its YAML file, found by folder: one file a check beside the code of its family."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.schema.cache import cached

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


@cache
def declarations() -> Mapping[str, Declaration]:
    """Every check shipped with the package, by code in order; read from an index that is made once of their files."""
    texts = [path.read_text("utf-8") for path in sorted(Path(__file__).parent.glob("*/*-[0-9][0-9].yaml"))]
    index = cached("checks.json", "\0".join(texts).encode(), lambda target: _write_index(texts, target))
    found = map(_declared, json.loads(index.read_text("utf-8")))
    return {declaration.code: declaration for declaration in found}


def _write_index(texts: list[str], target: Path) -> None:
    target.write_text(json.dumps([_loaded(text) for text in texts]), "utf-8")


def _loaded(text: str) -> dict[str, Any]:

    import yaml

    data: dict[str, Any] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return data


def _declared(data: dict[str, Any]) -> Declaration:
    known = {**data, "settings": data.get("settings") or {}, "right_when": data.get("right_when") or {}}
    for name in ("seasons", "traits", "gives_way_to", "examples"):
        known[name] = tuple(data.get(name) or ())
    return Declaration(**known)
