"""What a plant brings to its border: the border compared with the same one without it.

Arguments throughout: the border with it, the border without it, and the planting as it stands in the first.
"""

from __future__ import annotations

from itertools import chain
from math import dist
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.rules.border.interest import PART_OF_MONTH, green, shown, strength_by_month
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.linter.engine import Options
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

LEAVES = "evergreen_leaves"


class Showing(NamedTuple):
    """What it has to look at in a month (1 to 12): the organs, those that nothing else in the garden shows then, and the share
    of the frontage that has anything to look at, with it and without."""

    month: int
    organs: tuple[str, ...]
    alone: tuple[str, ...]
    stays: float
    goes: float

    @property
    def only(self) -> bool:
        """Nothing else takes any of the frontage."""
        return self.stays > self.goes == 0

    @property
    def mainly(self) -> bool:
        """At least half of what the frontage shows then is gone with it."""
        return not self.only and self.stays - self.goes >= self.stays / 2 > 0


class Winter(NamedTuple):
    """Shares with it and without: of the frontage with a form in January, and of the ground under evergreens, as WINTER-01 has
    them. evergreen, stands: whether it is one and has one, None where that is not known."""

    form: tuple[float, float]
    green: tuple[float, float]
    evergreen: bool | None
    stands: bool | None


class Skyline(NamedTuple):
    """The front elevation in the middle of a month: m of the frontage on which it is the highest, the greatest height there
    with it and without, m of the frontage above a standing eye with it and without, and whether it is in leaf, None where the plant is not known."""

    month: int
    highest: float
    height: tuple[float, float]
    screened: tuple[float, float]
    in_leaf: bool | None


def organs_in(border: Border, planting: Planting, month: int) -> tuple[str, ...]:
    """What a planting has to look at for a good part of a month."""
    return tuple(shown(border, planting, month)) or ((LEAVES,) if green(border, planting, month) else ())


def shows(border: Border, without: Border, planting: Planting, season: int) -> list[Showing]:
    """The months in which it has anything to look at."""
    others = [p for p in without.standing if without.present(p, season)]
    strength = {p.number: strength_by_month(without, p, PART_OF_MONTH) for p in without.of_the_bed}
    found = []
    for month in range(1, 13):
        if not (organs := organs_in(border, planting, month)):
            continue
        elsewhere = set(chain.from_iterable(organs_in(without, p, month) for p in others))
        holding = [p for p in without.of_the_bed if strength[p.number][month]]
        goes = without.share_of_frontage(holding, season)
        stays = border.share_of_frontage([*holding, planting], season) if planting in border.of_the_bed else goes
        found.append(Showing(month, organs, tuple(organ for organ in organs if organ not in elsewhere), stays, goes))
    return found


def winter(border: Border, without: Border, planting: Planting, options: Options, season: int) -> Winter:
    """By the height that counts in WINTER-01, as the settings have it."""
    from bedfellow.rules.winter.skeleton import skeleton, stands

    least = options.settings.limits_of(options.settings.checks["WINTER-01"])["height"]
    with_it, gone = (skeleton(one, season, least) for one in (border, without))
    known = planting.traits.word("foliage") is not None
    return Winter(
        (with_it.form, gone.form),
        (with_it.green, gone.green),
        planting.evergreen if known else None,
        stands(border, planting) if known or stands(border, planting) else None,
    )


def skyline(border: Border, without: Border, planting: Planting, season: int, northern: int) -> Skyline:
    """In the middle of a month, which is told as the north has it (1 to 12)."""
    from bedfellow.rules.border.sight import STANDING

    month = border.month_here(northern)
    day = middle_of(month)
    with_it, gone = (one.front_elevation(season, day) for one in (border, without))
    left, right = border.frontage()
    cell = (right - left) / len(with_it)
    higher = [(high, low) for high, low in zip(with_it, gone, strict=True) if high > low]
    return Skyline(
        month,
        cell * len(higher),
        max(higher, default=(0.0, 0.0)),
        (cell * sum(height > STANDING for height in with_it), cell * sum(height > STANDING for height in gone)),
        border.in_leaf(planting, day) if planting.traits.rank else None,
    )


def lee(border: Border, planting: Planting, options: Options, season: int) -> tuple[Planting, ...] | None:
    """As SITE-04 has the lee of a hedge; that check itself counts no single plant as shelter."""
    from bedfellow.rules.site.wind import WIND, WINDWARD, turn

    site, size = border.plan.site, border.size(planting, season)
    if not WIND.get(site.exposure or "") or size is None:
        return None
    heights = options.settings.limits_of(options.settings.checks["SITE-04"])["lee"]
    stem = planting.points[0]
    directed = site.prevailing_wind is not None and (site.faces is not None or site.north is not None)

    def behind(point: tuple[float, float]) -> bool:
        if dist(point, stem) > heights * size.height.typical:
            return False
        return not directed or turn(border.bearing(point, stem), site.prevailing_wind or 0.0) <= WINDWARD

    return tuple(p for p in border.plantings if p.points and all(behind(point) for point in p.points))
