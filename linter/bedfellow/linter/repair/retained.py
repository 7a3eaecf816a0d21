"""Plants that were there before: what the border loses if one goes, and what it costs the rest if it stays.

The plan is grown and judged as it stands, and once more for each of them with the other decision; every figure is the
difference between the two.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.brings import Showing, Skyline, Winter, lee, shows, skyline, winter
from bedfellow.linter.repair.takes import CELL, Building, Roots, Shading, State, building, roots, shading
from bedfellow.linter.repair.trial import Outcome, compared, found
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.interest import ORGANS

if TYPE_CHECKING:
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.details import Retained
    from bedfellow.schema.plan import Plan


class Sides(NamedTuple):
    """Both sides of one plant. plant: as the plan has it; planting: as it stays; outcome: findings that are new or gone if it goes.

    wanting: what could not be judged, and for want of what; carries: lines that climb through it; lee: plantings in its lee,
    None where the site does not say that it is windy.
    """

    plant: Retained
    planting: Planting
    in_bed: bool
    shows: tuple[Showing, ...]
    winter: Winter | None
    skyline: tuple[Skyline, ...]
    lee: tuple[Planting, ...] | None
    carries: tuple[Planting, ...]
    shading: Shading | None
    roots: Roots | None
    building: Building | None
    outcome: Outcome
    wanting: tuple[tuple[str, str], ...]


def both_sides(
    border: Border, options: Options, season: int, tell: Callable[[int], None] = lambda done: None
) -> list[Sides]:
    """Every plant of the plan that was there before, in its order. tell: is told how many have been judged."""
    if not border.plan.retained:
        return []
    as_planned, answers = _state(border, options, season), []
    for done, plant in enumerate(border.plan.retained, 1):
        keeps = plant.action == "keep"
        other = _state(
            Border(with_action(border.plan, plant, "remove" if keeps else "keep"), border.store), options, season
        )
        stays, goes = (as_planned, other) if keeps else (other, as_planned)
        planting = next(p for p in stays.border.retained if p.path == plant.path)
        answers.append(_sides(stays, goes, plant, planting, options, season))
        tell(done)
    return answers


def with_action(plan: Plan, plant: Retained, action: str) -> Plan:
    """The plan with another decision about one of the plants that were there."""
    return replace(plan, retained=tuple(replace(one, action=action) if one is plant else one for one in plan.retained))


def _state(border: Border, options: Options, season: int) -> State:
    sunny = border.plan.site.latitude is not None
    light = border.light(border.plantings, season) if sunny else {}
    ground = border.light_map(season, CELL) if sunny and border.plan.borders else None
    return State(border, found(border, options), light, ground)


def _sides(stays: State, goes: State, plant: Retained, planting: Planting, options: Options, season: int) -> Sides:
    border, plan = stays.border, stays.border.plan
    in_bed = planting in border.of_the_bed
    looks = in_bed and bool(plan.borders)
    return Sides(
        plant,
        planting, in_bed,
        tuple(shows(border, goes.border, planting, season)),
        winter(border, goes.border, planting, options, season) if plan.borders else None,
        tuple(skyline(border, goes.border, planting, season, month) for month in (1, 7)) if looks and border.crown(planting, season) else (),
        lee(border, planting, options, season),
        tuple(p for p in border.plantings if planting.key in p.line.through),
        shading(stays, goes, planting, season),
        roots(border, planting),
        building(border, planting, options),
        compared(stays.findings, goes.findings),
        tuple(_wanting(border, planting, season)),
    )  # fmt: skip


def _wanting(border: Border, planting: Planting, season: int) -> list[tuple[str, str]]:
    """(what could not be judged, for want of what)."""
    traits, site = planting.traits, border.plan.site
    found = []
    if not traits.rank:
        near = border.near_names(traits.name)
        nearest = f" (nearest names: {', '.join(near)})" if near else ""
        why = f"'{traits.name}' is not a plant that is known{nearest}"
        found.append(("what it shows and when, evergreen or not, its hazards", why))
    elif not any(border.window(planting, organ) for organ in ORGANS):
        found.append(("what it shows and when", "no dates are known for it here"))
    if border.size(planting, season) is None:
        why = "states neither its height nor its crown" if traits.rank else "does not state both height and crown"
        found.append(("its shade, its outline and what it screens", f"the plan {why}"))
    elif site.latitude is None:
        found.append(("its shade", "the plan does not say the latitude"))
    if planting.root_radius is None:
        found.append(("its root protection area", "the plan does not state the diameter of its stem"))
    if not border.plan.borders:
        found.append(("its part in the frontage, the winter and the ground", "the plan has no outline of a bed"))
    return found
