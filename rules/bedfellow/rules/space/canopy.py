"""SPACE-03: a canopy raised further than the plant bears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON, LATEST = 10, 40
TRAINED = ("standard", "multi-stem", "multistem")


def raised_too_far(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A clear stem of more than its share of the height at year 10, or on a plant that cannot be raised."""
    for planting in border.plantings:
        clear = planting.line.clear_stem
        if not clear or not planting.woody or planting.supported or _trained(planting):
            continue
        size, can = border.size(planting, SEASON), planting.traits.yes("can_be_raised")
        if size is None or can is None:
            wanting = ("can_be_raised",) if can is None else ()
            yield Unjudged(planting.key, (*wanting, *border.wanting_size(planting)), planting.path)
            continue
        evidence = {
            "plant": planting.title,
            "clear_stem": clear,
            "height": round(size.height.typical, 2),
            "season": SEASON,
        }
        if can is False or planting.line.coppiced:
            yield Finding("warning", (planting.key,), (*planting.path, "clear_stem"), evidence, case="habit")
        elif round(clear, 2) > round(limits["share"] * size.height.typical, 2):
            year = _year(border, planting, clear / limits["share"])
            evidence |= {
                "needed": round(clear / limits["share"], 2),
                "year": year,
                "most": round(limits["share"] * _ultimate(border, planting), 2),
            }
            yield Finding(
                "warning", (planting.key,), (*planting.path, "clear_stem"), evidence, case="later" if year else "never"
            )


def _trained(planting: Planting) -> bool:
    return any(word in (planting.line.form or "").lower() for word in TRAINED)


def _year(border: Border, planting: Planting, height: float) -> int | None:
    """The first season in which it is so many metres tall."""
    return next(
        (
            season
            for season in range(SEASON, LATEST + 1)
            if (size := border.size(planting, season)) and size.height.typical >= height
        ),
        None,
    )


def _ultimate(border: Border, planting: Planting) -> float:
    size = border.size(planting, LATEST)
    return size.height.typical if size else 0.0
