"""The size of one planting by its traits and by how large it was planted. Lengths in m, time in growing seasons.

on_curve, clump     woody and herbaceous, in any season
regrown             what is cut back, by the end of a season
"""

from __future__ import annotations

from typing import NamedTuple

from bedfellow.rules.border import supply
from bedfellow.rules.border.growth import Size, herbaceous_share, woody_size
from bedfellow.rules.border.planting import Planting
from bedfellow.schema.values import Measure

ESTABLISH = {"perennial": 3, "grass": 3, "fern": 4, "bulb": 1, "annual": 1, "biennial": 2}
"""Seasons until a clump has its full size, where that is not known: common practice."""
LONGEST_SHOOTS = 2.0
"""m that a cut shrub puts on in a season where its pruned size is not known: common practice."""


class Cut(NamedTuple):
    """How a shrub is cut back: m left of it, every so many years from its second season on, on which day of the year."""

    to: float
    every: int
    day: float

    def seasons_since(self, season: int) -> int | None:
        """Growing seasons since it was last cut, 0 in the one in which it was; None before the first time."""
        return (season - 1) % self.every if season > self.every else None


def stock(planting: Planting, grown: Size) -> Size | None:
    """The woody plant on the day of planting; None where nothing is said of its size."""
    stated = planting.supplied
    if stated is None:
        return None
    if planting.life_form == "tree":
        return supply.tree(stated, grown.height.typical)
    return supply.shrub(stated, (grown.height.typical, grown.spread.typical))


def on_curve(ultimate: Measure, years: float, season: float, ten: Measure | None, planted: Measure | None) -> Measure:
    """A woody height or spread after so many years, each end on a curve of its own."""
    bought = supply.usual(ultimate.typical)
    if ten is not None:
        bought = min(bought, 0.9 * ten.typical)
    ends = []
    for end in Measure._fields:
        if getattr(ultimate, end) <= 0:
            ends.append(0.0)
            continue
        usual = bought * getattr(ultimate, end) / ultimate.typical
        start = usual if planted is None else getattr(planted, end)
        at_ten = None if ten is None else getattr(ten, end)
        ends.append(woody_size(getattr(ultimate, end), years, start, season, at_ten, usual))
    return Measure(min(ends), ends[1], max(ends))


def establishes(planting: Planting) -> float:
    """Seasons until a clump has its full size."""
    seasons = planting.traits.measure("seasons_to_establish")
    return seasons.typical if seasons else ESTABLISH.get(planting.life_form, 3)


def clump(planting: Planting, grown: Size, season: float) -> Size:
    """A herbaceous plant in a season: others reach their height as they establish, a bulb has it at once.

    On the day of planting nothing is up of a bulb, nor of what comes with bare roots.
    """
    traits = planting.traits
    root_form = planting.line.root_form
    bought = supply.herb(planting.supplied, root_form, (grown.height.typical, grown.spread.typical))
    seasons = establishes(planting)
    share, first = herbaceous_share(season, seasons), herbaceous_share(1, seasons)
    height, spread = (_at_least(had, scaled(full, share)) for had, full in zip(bought, grown, strict=True))
    young = traits.measure("first_season_height")
    if planting.life_form == "bulb":
        height = scaled(grown.height, float(season > 0))
    elif young is not None and season > 0 and first < 1:
        gone = (share - first) / (1 - first)
        height = Measure(*(one + gone * max(0.0, full - one) for one, full in zip(young, grown.height, strict=True)))
    if season <= 0 and root_form in ("bare-root", "bulb"):
        height = scaled(height, 0.0)
    return Size(height, spread)


def scaled(measure: Measure, factor: float) -> Measure:
    return Measure(measure.low * factor, measure.typical * factor, measure.high * factor)


def regrown(planting: Planting, grown: Size, since: int | None) -> Size:
    """What a shrub that is cut back has grown again by the end of a season: by its pruned size in each."""
    if since is None:
        return grown
    pruned = (planting.traits.measure(name) for name in ("pruned_height", "pruned_spread"))
    limits = [shoots.typical if shoots else LONGEST_SHOOTS for shoots in pruned]
    return no_larger(grown, *((since + 1) * limit for limit in limits))


def no_larger(size: Size, height: float | None, width: float | None) -> Size:
    return Size(*(
        measure if limit is None else Measure(*(min(value, limit) for value in measure))
        for measure, limit in zip(size, (height, width), strict=True)
    ))  # fmt: skip


def _at_least(had: Measure, grown: Measure) -> Measure:
    return Measure(*(max(pair) for pair in zip(had, grown, strict=True)))
