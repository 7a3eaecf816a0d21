"""The table of traits (``traits.yaml``) as typed rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

TABLE = Path(__file__).with_name("traits.yaml")


@dataclass(frozen=True, slots=True)
class Trait:
    """One row: what kind of value a trait has, where it applies and how it is inherited.

    scale: step to its word, for classes and for tolerances on a scale.
    applies: life forms that can have it; empty means all.
    species, genus: "safe", "low" or "never": what a taxon takes from the species or genus above it.
    """

    name: str
    kind: str
    about: str
    unit: str
    scale: Mapping[int, str]
    options: tuple[str, ...]
    several: bool
    widening: float
    applies: frozenset[str]
    species: str
    genus: str
    interest: bool
    bands: bool


@dataclass(frozen=True, slots=True)
class TraitTable:
    """All traits by name, the life forms and the scales with every step defined in a sentence."""

    traits: Mapping[str, Trait]
    life_forms: Mapping[str, str]
    scales: Mapping[str, Mapping[int, str]]


@cache
def trait_table() -> TraitTable:
    """The table shipped with the package."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    data = yaml.load(TABLE.read_text("utf-8"), loader)
    scales: dict[str, dict[int, str]] = data["scales"]
    rows = {name: _row(name, row, scales, data["life_forms"]) for name, row in data["traits"].items()}
    return TraitTable(rows, data["life_forms"], scales)


def _row(name: str, row: dict[str, Any], scales: dict[str, dict[int, str]], life_forms: dict[str, str]) -> Trait:
    options = row.get("options", ())
    return Trait(
        name=name,
        kind=row["kind"],
        about=row["about"],
        unit=row.get("unit", ""),
        scale={step: text.split(":")[0] for step, text in scales[row["scale"]].items()} if "scale" in row else {},
        options=tuple(life_forms) if options == "life_forms" else tuple(options),
        several=row.get("several", False),
        widening=row.get("widening", 0.0),
        applies=frozenset(row.get("applies", ())),
        species=row.get("species", "never"),
        genus=row.get("genus", "never"),
        interest=row.get("interest", False),
        bands=row.get("bands", False),
    )
