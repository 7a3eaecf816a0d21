"""What could fill a gap: what a place in a border offers, and the plants of a store that it suits.

A plant is offered only if the plan, judged again with it at that place, has no error or warning that it had not before.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from math import ceil, dist, floor, inf, sqrt
from typing import NamedTuple, TypeVar

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.trial import Outcome, found, trial
from bedfellow.rules.border.border import Border, Soil
from bedfellow.rules.border.interest import PART_OF_MONTH, of_interest, strength_by_month
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.declaration import declarations
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import Point, cluster, distance_to, inside
from bedfellow.schema.plan import Line
from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.search.asked import Asked, asked
from bedfellow.traits_db.search.search import Candidate, candidates

T = TypeVar("T")
SEASON = 10
KEY = "gap"
# Common practice, all in metres: leaves may lean so far over the edge of a bed; a canopy clears what stands below it by so
# much; less room than this is none, more than this is not filled by one plant.
EDGE, AIR, LEAST, MOST = 0.15, 0.15, 0.2, 6.0
CANOPY = 0.3  # m: below a crown that begins lower nothing is planted
FRONT, RISE = 0.4, 0.7  # m: a border is so high at its edge, and rises by so much with every metre from it
STEP, ENOUGH, MOST_LOOKED_AT = 0.2, 0.4, 20_000  # m of the grid on which a free place is sought, m of room, points
GROUP = 9  # plants at most, of one kind in one gap
OUTGROWN = 1.5  # times the room: what is wider than that when full-grown does not belong there
LATER = 0.93
LOOKED_AT = 3  # times as many as are wanted are judged


class NoRoom(ValueError):
    """Why nothing can be planted at a place."""


class Place(NamedTuple):
    """What a place offers in the tenth season.

    room: m across; headroom: m below a crown, infinite in the open; june, midday: hours of sun on 21 June and of these from
    11 to 16 h (21 December in the south), None where the latitude is not known; share: of the open site's beam.
    months: those in which the border has least to look at; rises_to: height in m that suits so far from the edge.
    """

    at: Point
    room: float
    headroom: float
    under: str
    june: float | None
    midday: float | None
    share: float | None
    soil: Soil
    minimum_temperature: float | None
    months: tuple[int, ...]
    rises_to: float

    @property
    def light(self) -> tuple[str, ...]:
        """The words of plant labels for plants that get here what they want, by the limits of LIGHT-01 and LIGHT-02."""
        if self.june is None or self.midday is None or self.share is None:
            return ()
        return labels(self.june, self.midday, self.share)


class Filler(NamedTuple):
    """A plant that would do, how many of it, its size in the tenth season, the months that it brings, and what judging found.

    fit: 0 to 1, the mean of how it meets what the place asks, of the room that it fills, of a height that suits, and of what it
    has to show in the poor months and in the whole year.
    """

    candidate: Candidate
    number: int
    height: float
    spread: float
    months: tuple[int, ...]
    known: bool
    fit: float
    outcome: Outcome


class Fillers(NamedTuple):
    """good: best first. refused: those that would bring findings. left: how many more were not judged."""

    good: tuple[Filler, ...]
    refused: tuple[Filler, ...]
    left: int


class Room(NamedTuple):
    """Room about a point: m to the nearest that takes any (negative inside it), height in m below a crown and whose it is,
    and who stands there."""

    free: float
    headroom: float
    under: str
    taken: str


def place(border: Border, at: Point) -> Place:
    """What a place offers. Raises NoRoom where nothing can be planted there."""
    bodies = _bodies(border)
    room = _room(border, bodies, at)
    if 2 * room.free < LEAST:
        near = _nearest(border, bodies, at)
        where = f"; the nearest with {metres(ENOUGH)} is ({near[0]:g}, {near[1]:g})" if near else ""
        raise NoRoom((room.taken or f"there are only {metres(max(0.0, 2 * room.free))} of room there") + where)
    site = border.plan.site
    june = midday = share = None
    if site.latitude is not None:
        june, midday, _, share = border.light_at((*at, min(0.3, room.headroom / 2)), SEASON)
    standing = Planting(-1, Line((), "", KEY, at=(at,)), TaxonTraits("", "", "", {}), (at,))
    return Place(
        at, min(2 * room.free, MOST), room.headroom, room.under, june, midday, share, border.soil(standing),
        site.minimum_temperature, _poorest(border), _rises_to(border, at),
    )  # fmt: skip


def _bodies(border: Border) -> list[tuple[str, Point, float, float]]:
    """(whose, where, radius, height of the lowest leaves) of all that takes room in the tenth season."""
    bodies = [
        (planting.title, point, crown.greatest_radius, crown.base)
        for planting in border.plantings
        if _takes_room(border, planting) and (crown := border.crown(planting, SEASON))
        for point in planting.points
    ]
    return bodies + [("a plant that is not known", (x, y), radius, 0.0) for x, y, radius in border.strangers]


def _takes_room(border: Border, planting: Planting) -> bool:
    traits = planting.traits
    through = planting.life_form == "bulb" or planting.temporary or planting.supported
    return not (through or traits.yes("see_through") or traits.yes("weaves")) and border.present(planting, SEASON)


def _room(border: Border, bodies: Sequence[tuple[str, Point, float, float]], at: Point) -> Room:
    beds = [bed for bed in border.plan.borders if inside(at, bed.outline)]
    if border.plan.borders and not beds:
        return Room(-inf, inf, "", f"({at[0]:g}, {at[1]:g}) lies outside the bed")
    free = distance_to(at, beds[0].outline) + EDGE if beds else inf
    headroom, under = inf, ""
    for whose, point, radius, base in bodies:
        apart = dist(at, point)
        if apart >= radius or base < CANOPY:
            if apart < radius:
                return Room(
                    apart - radius, inf, "", f"{whose} stands there, {metres(2 * radius)} wide in season {SEASON}"
                )
            free = min(free, apart - radius)
        elif base - AIR < headroom:
            headroom, under = base - AIR, whose
    return Room(free, headroom, under, "")


def nearest_free(border: Border, at: Point) -> Point | None:
    """A point where it has room enough, else the nearest place on a grid of 20 cm that has; None where there is none."""
    bodies = _bodies(border)
    at = round(at[0], 2), round(at[1], 2)
    return at if 2 * _room(border, bodies, at).free >= ENOUGH else _nearest(border, bodies, at)


def _nearest(border: Border, bodies: Sequence[tuple[str, Point, float, float]], at: Point) -> Point | None:
    grid = _grid(border)
    nearest = sorted(grid, key=lambda point: (dist(point, at), point))
    return next((point for point in nearest if 2 * _room(border, bodies, point).free >= ENOUGH), None)


def _grid(border: Border) -> list[Point]:
    left, front, right, back = border.box
    columns, rows = (range(ceil(low / STEP), floor(high / STEP) + 1) for low, high in ((left, right), (front, back)))
    return [(round(column * STEP, 2), round(row * STEP, 2)) for column in columns for row in rows][:MOST_LOOKED_AT]


def roomiest(border: Border) -> Point | None:
    """The place on a grid of 20 cm with most room about it; None where there is none for a plant."""
    bodies = _bodies(border)
    room = {point: _room(border, bodies, point).free for point in _grid(border)}
    best = max(room, key=lambda point: (room[point], point), default=None)
    return best if best is not None and 2 * room[best] >= ENOUGH else None


def _rises_to(border: Border, at: Point) -> float:
    """The height in m that suits a place: a border rises from the edge that it is seen from."""
    beds = [bed.outline for bed in border.plan.borders if inside(at, bed.outline)]
    if not beds:
        return inf
    front = at[1] - min(y for _, y in beds[0])
    depth = distance_to(at, beds[0]) if {view.side for view in border.views} - {"front"} else front
    return FRONT + RISE * depth


def _poorest(border: Border) -> tuple[int, ...]:
    """The three months in which least of the frontage has anything of interest, the poorest first."""
    if not border.plantings or not border.plan.borders:
        return ()
    holding = of_interest(border, PART_OF_MONTH)
    shares = {month: border.share_of_frontage(plantings, SEASON) for month, plantings in holding.items()}
    return tuple(sorted(shares, key=lambda month: (shares[month], month))[:3])


def labels(june: float, midday: float, share: float) -> tuple[str, ...]:
    """The words of plant labels for what gets that sun and wants it; arguments as in `Place`."""
    sun, shade = (declarations()[code].limits() for code in ("LIGHT-01", "LIGHT-02"))
    words = []
    if june >= sun["warning_hours"] and share >= sun["warning_share"]:
        words.append("full sun")
    if not (june > shade["hours"] and share > shade["share"] and midday >= shade["midday_hours"]):
        words.append("part shade")
    if june < sun["error_hours"] or share < sun["error_share"]:
        words.append("full shade")
    return tuple(words)


def wanted(
    ph: tuple[float, float] | None, moisture: str | None, minimum_temperature: float | None, light: Sequence[str]
) -> list[Asked]:
    """What a place asks of a plant, as far as it is known."""
    texts = [f"ph tolerated {ph[0]:g} to {ph[1]:g}"] if ph else []
    texts += [f"moisture {moisture}"] if moisture else []
    texts += [f"minimum temperature {minimum_temperature:g}"] if minimum_temperature is not None else []
    texts += [f"light {' or '.join(light)}"] if light else []
    return [asked(text) for text in texts]


def fillers(
    border: Border, offered: Place, must: Sequence[Asked], rather: Sequence[Asked], layer: str, most: int,
    options: Options, tell: Callable[[int], None] = lambda done: None,
) -> Fillers:  # fmt: skip
    """The plants that suit a place best, each judged at it. tell: is told how many have been judged."""
    asks = wanted(offered.soil.ph, offered.soil.moisture, offered.minimum_temperature, offered.light)
    found_there = candidates(border.store, [*asks, *must], rather, layer)
    suited = varied(_suited(border, offered, found_there), lambda filler: (filler.candidate.traits.name, filler.fit))
    before = found(border, options)
    good: list[Filler] = []
    refused: list[Filler] = []
    judged = 0
    for filler in suited:
        if len(good) == most or judged == LOOKED_AT * most:
            break
        outcome = trial(border, (*border.plan.lines, line_of(filler, offered.at)), before, options)
        (refused if outcome.new else good).append(filler._replace(outcome=outcome))
        judged += 1
        tell(judged)
    return Fillers(tuple(good), tuple(refused), len(suited) - judged)


def line_of(filler: Filler, at: Point) -> Line:
    """The line of the plan that plants it."""
    places = cluster(at, filler.number, filler.spread)
    return Line(("plants",), filler.candidate.traits.name, KEY, at=tuple((round(x, 2), round(y, 2)) for x, y in places))


def varied(suited: Iterable[T], told: Callable[[T], tuple[str, float]]) -> list[T]:
    """Best first, but each further one of a genus waits a little longer, so that a designer has a choice.

    told: the name and the fit of one.
    """
    seen: Counter[str] = Counter()
    ranked = []
    for name, fit, one in sorted(((*told(one), one) for one in suited), key=lambda entry: (-entry[1], entry[0])):
        genus = name.split()[0]
        ranked.append((-fit * LATER ** seen[genus], name, one))
        seen[genus] += 1
    return [one for *_, one in sorted(ranked, key=lambda entry: entry[:2])]


def _suited(border: Border, offered: Place, candidates: Sequence[Candidate]) -> Iterator[Filler]:
    """The candidates that have room, with how many of each fill it."""
    names = {planting.traits.name for planting in border.plantings}
    lines = tuple(Line(("plants",), candidate.traits.name, KEY, at=(offered.at,)) for candidate in candidates)
    alone = Border(replace(border.plan, lines=lines), border.store)  # asked only for what each is by itself
    for candidate, planting in zip(candidates, alone.plantings, strict=True):
        size, grown = alone.size(planting, SEASON), planting.traits.measure("spread")
        if (
            size is None
            or grown is None
            or planting.life_form in ("climber", "annual")
            or not border.present(planting, SEASON)
        ):
            continue
        height, spread = size.height.typical, size.spread.typical
        if spread > offered.room or grown.typical > OUTGROWN * offered.room or height > offered.headroom or spread <= 0:
            continue
        number = 1 if planting.woody else min(GROUP, max(1, floor(0.9 * (offered.room / spread) ** 2)))
        fills = min(1.0, sqrt(number) * spread / offered.room)
        rises = min(1.0, offered.rises_to / height)
        strength = strength_by_month(alone, planting, PART_OF_MONTH)
        brings = [strength[month] / 3 for month in offered.months or strength]
        year = [value / 3 for value in strength.values()]
        fit = (candidate.score + fills + rises + sum(brings) / len(brings) + sum(year) / len(year)) / 5
        months = tuple(month for month, value in strength.items() if value)
        known = candidate.traits.name in names
        yield Filler(candidate, number, height, spread, months, known, round(fit, 3), Outcome((), ()))
