"""SEASON-02 to -06: how interest is spread over the year, along the border and over its plants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.interest import ORGANS, strength_by_month
from bedfellow.rules.finding import UNRECOGNISED, Finding, Unjudged
from bedfellow.rules.season.interest import GROWING, SEASONS
from bedfellow.rules.words import listed, month
from bedfellow.schema.values import YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.values import Window

WEEK = 7
GROWN = 3  # the season in which herbaceous neighbours have closed up
CLEAR, HALF = 2, 0.5  # interest noticed from across the path, for half of a month
ONE_SEASON = ("meadow", "woodland")
SERVES = ("screen", "windbreak", "nurse", "host")
HANDED_ON = (5, 9)  # from spring to autumn borders are in leaf everywhere
LASTING = ("winter_outline", "bark")


def one_season(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Most of the border's flower, by area and weeks, falls within a few weeks of the year."""
    brief = border.plan.brief
    styles = {bed.style for bed in border.plan.borders} | ({brief.style} if brief else set())
    if styles & set(ONE_SEASON):
        return
    if border.strangers:
        yield UNRECOGNISED
        return
    length = limits["weeks"] * WEEK
    for season in SEASONS:
        flowers = [
            (window.start.typical, min(window.length, YEAR), border.ground_taken(planting, season), planting)
            for planting in border.of_the_bed
            if border.present(planting, season) and (window := border.window(planting, "flower"))
        ]
        whole = sum(days * ground for _, days, ground, _ in flowers)
        if len(flowers) < limits["plants"] or whole <= 0:
            return
        within = {
            first: sum(ground * _shared(start, days, first, length) for start, days, ground, _ in flowers)
            for first in range(1, YEAR + 1, WEEK)
        }
        first = max(within, key=lambda day: within[day])
        share = round(within[first] / whole, 2)
        if share <= limits["share"]:
            return
    most = sorted(flowers, key=lambda found: -found[2] * _shared(found[0], found[1], first, length))[:2]
    yield Finding(
        "warning", (), ("plants",),
        {"share": share, "limit": limits["share"], "weeks": limits["weeks"], "from": month_of(first), "season": season,
         "to": month_of((first + length - 2) % YEAR + 1), "most": listed([planting.title for *_, planting in most])},
    )  # fmt: skip


def _shared(start: float, days: float, first: float, length: float) -> float:
    """Days that a window of so many days and a stretch of the year share."""
    return sum(
        max(0.0, min(start + days, first + turn + length) - max(start, first + turn)) for turn in (-YEAR, 0, YEAR)
    )


def one_end(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Months in which all there is to see stands in one third of the frontage: one finding names them."""
    left, right = border.frontage()
    if right - left < limits["frontage"]:
        return
    if border.strangers:
        yield UNRECOGNISED
        return
    ends = {}
    for number, plantings in _showing(border).items():
        if len({planting.traits.name for planting in plantings}) < 2:
            continue  # one plant alone is told by SEASON-06
        if any(planting.line.purpose == "focal point" for planting in plantings):
            continue
        radii = {planting.number: _radius(border, planting) for planting in plantings}
        first = min(x - radii[planting.number] for planting in plantings for x, _ in planting.points)
        last = max(x + radii[planting.number] for planting in plantings for x, _ in planting.points)
        if round((min(last, right) - max(first, left)) / (right - left), 2) <= limits["share"]:
            ends[number] = (max(first, left) - left, min(last, right) - left)
    if ends:
        start, end = next(iter(ends.values()))
        yield Finding(
            "note", (), ("plants",), {"months": list(ends), "from": start, "to": end, "frontage": right - left}
        )


def _showing(border: Border) -> dict[int, list[Planting]]:
    """Month of the growing year to the plantings that show something clear then."""
    months = [border.month_here(number) for number in GROWING]
    found: dict[int, list[Planting]] = {number: [] for number in months}
    for planting in border.plantings:
        if not planting.points or not border.present(planting, GROWN):
            continue
        for number, strength in strength_by_month(border, planting, HALF).items():
            if strength >= CLEAR and number in found:
                found[number].append(planting)
    return found


def _radius(border: Border, planting: Planting) -> float:
    size = border.size(planting, GROWN)
    return size.spread.typical / 2 if size else 0.0


def one_plant(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Months that hang on a single plant: one finding names them."""
    if border.strangers:
        yield UNRECOGNISED
        return
    evergreen = [planting for planting in border.of_the_bed if planting.evergreen]
    if border.share_of_frontage(evergreen, GROWN) >= limits["evergreen"]:
        return
    alone = {
        number: plantings
        for number, plantings in _showing(border).items()
        if len({planting.traits.name for planting in plantings}) == 1 and len(border.plantings) > 1
    }
    if alone:
        keys = sorted({planting.key for plantings in alone.values() for planting in plantings})
        yield Finding(
            "note", tuple(keys), next(iter(alone.values()))[0].path,
            {"months": list(alone), "each": listed([f"{month(number)} on {plantings[0].title}" for number, plantings in alone.items()])},
        )  # fmt: skip


def earns_little(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Trees and shrubs with one short season and no outline: one finding names all."""
    hosts = {key for line in border.plan.lines for key in line.through}
    poor = []
    for planting in border.plantings:
        line = planting.line
        if planting.life_form not in ("tree", "shrub") or planting.evergreen or line.hedge or line.purpose in SERVES:
            continue
        windows = [window for organ in ORGANS if (window := border.window(planting, organ))]
        if not windows and border.window(planting, "flower") is None:
            yield Unjudged(planting.key, (border.wanting(planting, "flower"),), planting.path)
            continue
        lasting = any(border.window(planting, organ) for organ in LASTING)
        if not lasting and planting.key not in hosts and _days(windows) <= WEEK * limits["weeks"]:
            poor.append(planting)
    if poor:
        yield Finding(
            "note", tuple(sorted(planting.key for planting in poor)), poor[0].path,
            {"plants": listed([planting.title for planting in poor]), "weeks": limits["weeks"]},
            tuple((planting.path, planting.key) for planting in poor[1:]), case="one" if len(poor) == 1 else "several",
        )  # fmt: skip


def _days(windows: Sequence[Window]) -> float:
    """Days of the year in one window or another."""
    total, reached = 0.0, 0.0
    for start, end in sorted((window.start.typical, window.end.typical) for window in windows):
        total += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return min(total, YEAR)


def weak_relay(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """After a plant's flower nothing beside it takes over for weeks: the longest pause of the summer is told."""
    if border.strangers:
        yield UNRECOGNISED
        return
    worst: tuple[float, Planting, float] | None = None
    standing = [(other, _radius(border, other)) for other in border.of_the_bed]
    for planting, radius in standing:
        flower = border.window(planting, "flower")
        if flower is None or not planting.points or not border.present(planting, GROWN):
            continue
        end = flower.end.typical
        if not border.in_months(end, *HANDED_ON):
            continue
        pause = float(YEAR)
        for other, across in standing:
            reach = radius + across + limits["within"]
            if other.number != planting.number and planting.distance_to(other) > reach + 1e-6:
                continue
            if other.evergreen or border.window(other, "foliage_interest"):
                break
            windows = (window for organ in ORGANS if (window := border.window(other, organ)))
            pause = min(pause, *(_until(window, end) for window in windows), YEAR)
            if pause <= limits["days"]:
                break
        else:
            taken_up = border.in_months((end + pause - 1) % YEAR + 1, *HANDED_ON)
            if pause < YEAR / 2 and taken_up and (worst is None or pause > worst[0]):
                worst = (pause, planting, end)
    if worst:
        pause, planting, end = worst
        yield Finding(
            "note", (planting.key,), planting.path,
            {"plant": planting.title, "days": round(pause), "ends": month_of(int((end - 1) % YEAR) + 1),
             "within": limits["within"], "next": month_of(int((end + pause - 1) % YEAR) + 1)},
        )  # fmt: skip


def _until(window: Window, day: float) -> float:
    """Days from a day to the next in a window, 0 within it."""
    since = (day - window.start.typical) % YEAR
    return 0.0 if since < window.length else YEAR - since
