"""SPACE-08 and SPACE-09: how many plants stand together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

ALONE, COLONY = 1, 4  # Hansen & Stahl's steps: best singly; best in large colonies
ACCENTS = ("accent", "focal point")


def overplanted(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A drift set more densely than the plant needs to close the ground."""
    for planting in border.plantings:
        line = planting.line
        if (
            not line.ground
            or line.mix
            or line.quantity is None
            or planting.temporary
            or planting.life_form in ("bulb", "tree")
        ):
            continue
        density = planting.traits.measure("density")
        if density is None:
            yield Unjudged(planting.key, ("density",), planting.path)
            continue
        factor = limits["factor" if planting.traits.sourced("density") else "memory_factor"]
        number, most = line.quantity, factor * density.high * line.ground
        if number < limits["least"] or number <= most:
            continue
        enough = max(1, round(density.typical * line.ground))
        yield Finding(
            "warning", (planting.key,), (*planting.path, "quantity"),
            {"plant": planting.title, "key": planting.key, "number": number, "area": round(line.ground, 1),
             "density": round(number / line.ground, 1), "most": round(density.high, 1), "enough": enough, "saved": number - enough,
             "source": border.source(planting, "density")},
        )  # fmt: skip


def group_size(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Plants that look best alone set in drifts, and plants of colonies set singly; one note for each."""
    numbers = Counter[str]()
    for planting in border.plantings:
        numbers[planting.traits.name] += planting.line.number
    crowded, lonely = [], []
    for planting in border.plantings:
        line, step = planting.line, planting.traits.step("sociability")
        if line.mix or planting.woody or line.purpose in ACCENTS or line.grown_in == "container" or planting.temporary:
            continue
        if step is None:
            yield Unjudged(planting.key, ("sociability",), planting.path)
        elif step == ALONE and line.number > limits["most"] and (line.outline or line.group):
            crowded.append(planting)
        elif step >= COLONY and numbers[planting.traits.name] == 1:
            lonely.append(planting)
    yield from _note(crowded, "crowded")
    yield from _note(lonely, "lonely")


def _note(plantings: list[Planting], case: str) -> Iterator[Finding]:
    if plantings:
        yield together("note", plantings, plantings[0].path, said=[f", {p.line.number}" for p in plantings], case=case)
