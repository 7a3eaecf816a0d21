"""CLIMB-04: a climber and the plant that it grows through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.climb.wall import cut_yearly
from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
LIGHT = 1  # step of weight


def too_much_for_host(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A climber taller than its host, evergreen over a sun-lover, on a host not grown, or planted at its stem."""
    retained = {standing.kept.key: standing for standing in border.retained}
    for planting in border.plantings:
        size = border.size(planting, SEASON)
        for key in planting.line.through if planting.life_form == "climber" else ():
            old = retained.get(key)
            host = None if old else border.by_key.get(key)
            if host is None and old is None:
                continue
            if size is None:
                yield Unjudged(planting.key, border.wanting_size(planting), planting.path)
                break
            grown = border.size(host, SEASON) if host else None
            height = grown.height.typical if grown else old.kept.height if old else None
            if height is None:
                wanting = border.wanting_size(host) if host else ("retained: height",)
                yield Unjudged(planting.key, wanting, planting.path)
                continue
            woody = old is not None or (host is not None and host.life_form in ("tree", "shrub"))
            stems = host.points if host else (old.kept.at,) if old else ()
            apart = min((dist(here, stem) for here in planting.points for stem in stems), default=limits["trunk"])
            case = ""
            if not cut_yearly(planting):
                case = _burden(border, planting, host, size.height.typical > limits["taller"] * height, limits["years"])
            if not case and woody and round(apart, 2) < limits["trunk"]:
                case = "trunk"
            if case:
                yield Finding(
                    "warning", tuple(sorted((planting.key, key))), (*planting.path, "through"),
                    {"plant": planting.title, "host": host.title if host else old.title if old else key,
                     "height": round(size.height.typical, 2), "host_height": round(height, 2), "distance": round(apart, 2),
                     "years": limits["years"], "season": SEASON, "trunk": limits["trunk"]},
                    ((host.path if host else old.kept.path if old else planting.path, "its host"),), case=case,
                )  # fmt: skip


def _burden(border: Border, planting: Planting, host: Planting | None, taller: bool, years: float) -> str:
    """What is too much for the host: taller, evergreen or young; else empty."""
    if taller:
        return "taller"
    if host is None:
        return ""
    if planting.evergreen and set(host.traits.words("light")) == {"full sun"}:
        return "evergreen"
    light = planting.traits.step("climber_weight") == LIGHT
    young = host.woody and _planted(border, planting) - _planted(border, host) < 12 * years
    return "young" if young and not light else ""


def _planted(border: Border, planting: Planting) -> float:
    """Month of planting, counted from year 0; that of the plan where the line has none."""
    year, month = planting.line.planted or border.plan.planted or (0, 1)
    return 12.0 * year + month
