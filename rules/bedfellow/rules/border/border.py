"""The border: a plan with the traits of its plants, grown to any season. Lazy: what nobody asks for is not computed.

Border(plan, store)
  stature.py   .plantings, .unknown_names   lines whose plant is known, and is not
               .retained, .standing         plants that were there before, and all that stand
               .size(p, n), .crown(p, n)    height and spread in season n, and the solid that they fill
               .reach(p, n), .season_of(m)  how far its edge has gone, and the season of a (year, month)
  seasons.py   .window(p, t), .in_leaf(p, day), .present(p, n), .crown_on(p, n, day), .month_here(m)
  shade.py     .light(ps, n), .sun(ps, n, days), .solids(n, days), .screens()
  outlook.py   .views, .seen(p, …), .frontage(), .share_of_frontage(ps, n)
  here         .neighbours(n), .soil(p), .bearing(a, b), .warm_wall(p, m), .cover(n, d), .greatest_cover(n), .bare(n, d)
               .ground_taken(p, n), .cover_by_layer(n, d), .free_to_dig(n)
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from math import atan2, degrees, dist, floor, hypot, pi, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border.outlook import Outlook
from bedfellow.rules.border.planting import Planting
from bedfellow.schema.geometry import ROWS, inside
from bedfellow.schema.values import layer_of, middle_of

if TYPE_CHECKING:
    from bedfellow.rules.border.cover import Cells, Ground
    from bedfellow.schema.place import Path
    from bedfellow.traits_db.snapshot import Store

MOST_CELLS = 1_000  # either way
WARM, WARM_FACES = ("wall", "building"), (135.0, 270.0)


class Pair(NamedTuple):
    """Two plantings and the distance in metres between their nearest members, with where these stand."""

    first: Planting
    second: Planting
    distance: float
    at: tuple[tuple[float, float], tuple[float, float]]


class Soil(NamedTuple):
    """The soil where a plant stands, with the paths of what is said of it; kind: raised, mound, grit, … or empty."""

    kind: str
    ph: tuple[float, float] | None
    ph_at: Path
    moisture: str | None
    moisture_at: Path
    texture: str | None


class Border(Outlook):
    """A plan grown in space and time."""

    def __init__(self, plan: Any, store: Store) -> None:
        super().__init__(plan, store)
        self._covered: dict[tuple[int, frozenset[int]], float] = {}

    # ---- who is near whom

    def neighbours(self, season: int, cell: float = 1.0) -> Iterator[Pair]:
        """Pairs of plantings whose crowns, at the high end, may meet; each with its nearest members.

        Members are laid on a grid of square cells, each in the cells that its circle touches, so that the work grows
        with the number of plants and not with its square. Circles that meet do so between two stems, and the grid ends
        where the stems do: a slip of units makes no cells without end.
        """
        columns, rows, cell = self._grid(cell)
        cells: dict[tuple[int, int], list[tuple[Planting, float, float, float]]] = {}
        for planting in self.plantings:
            size = self.size(planting, season)
            if size is None or planting.supported:
                continue
            radius = size.spread.high / 2
            for x, y in planting.points:
                for column in _cells(x, radius, columns, cell):
                    for row in _cells(y, radius, rows, cell):
                        cells.setdefault((column, row), []).append((planting, x, y, radius))
        nearest: dict[tuple[int, int], Pair] = {}
        for standing in cells.values():
            for index, (first, x1, y1, r1) in enumerate(standing):
                for second, x2, y2, r2 in standing[index + 1 :]:
                    if first.number == second.number:
                        continue
                    distance = hypot(x1 - x2, y1 - y2)
                    if distance >= r1 + r2:
                        continue
                    pair = Pair(first, second, distance, ((x1, y1), (x2, y2)))
                    if first.number > second.number:
                        pair = Pair(second, first, distance, ((x2, y2), (x1, y1)))
                    key = (pair.first.number, pair.second.number)
                    if key not in nearest or distance < nearest[key].distance:
                        nearest[key] = pair
        for key in sorted(nearest):
            yield nearest[key]

    def _grid(self, cell: float) -> tuple[tuple[float, float], tuple[float, float], float]:
        """Ends of the ground on which plants stand, across and in depth, and the size of a cell, larger on endless ground."""
        points = [point for planting in self.plantings for point in planting.points] or [(0.0, 0.0)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        columns, rows = (min(xs), max(xs)), (min(ys), max(ys))
        return columns, rows, max(cell, *((last - first) / MOST_CELLS for first, last in (columns, rows)))

    # ---- the place

    def soil(self, planting: Planting) -> Soil:
        """The soil where a planting stands: the site's, or that of an area with soil of its own over its middle member."""
        site = self.plan.site
        soil = Soil("", site.ph, ("site", "ph"), site.moisture, ("site", "moisture"), site.texture)
        if not planting.points or not self.plan.soil_areas:
            return soil
        middle = planting.points[len(planting.points) // 2]
        for area in self.plan.soil_areas:
            if inside(middle, area.outline):
                soil = Soil(
                    area.kind,
                    soil.ph if area.ph is None else area.ph,
                    soil.ph_at if area.ph is None else (*area.path, "ph"),
                    area.moisture or soil.moisture,
                    (*area.path, "moisture") if area.moisture else soil.moisture_at,
                    area.texture or soil.texture,
                )
        return soil

    def bearing(self, here: tuple[float, float], there: tuple[float, float]) -> float:
        """Compass bearing in degrees from one place of the plan to another; the front is taken to face south where not said."""
        return (self._faces() + 180 + degrees(atan2(there[0] - here[0], there[1] - here[1]))) % 360

    def warm_wall(self, planting: Planting, within: float) -> bool:
        """A wall or building stands so many metres behind the planting at most, and the sun of the afternoon is on it.

        The face must look between south-east and west (north-east and west south of the equator).
        """
        if self.plan.site.faces is None and self.plan.site.north is None:
            return False
        for structure in self.plan.structures:
            if structure.kind not in WARM or len(structure.points) < 2:
                continue
            for point in planting.points:
                x, y = structure.nearest_to(point)
                if dist(point, (x, y)) > within:
                    continue
                bearing = self.bearing((x, y), point)
                if WARM_FACES[0] <= ((180 - bearing) % 360 if self.south else bearing) <= WARM_FACES[1]:
                    return True
        return False

    # ---- the ground

    def ground_taken(self, planting: Planting, season: int) -> float:
        """m² that a planting takes up: the net ground of its drift, else that of its members one by one."""
        if planting.line.outline and planting.line.ground:
            return float(planting.line.ground)
        size = self.size(planting, season)
        return len(planting.points) * pi * (size.spread.typical / 2) ** 2 if size else 0.0

    def cover(self, season: int, day: float, low_leaves: float = 0.6) -> float:
        """Share of all beds under living leaves within low_leaves metres of the ground."""
        return self._share_under(self._low_leaves(season, day, low_leaves), season)

    def greatest_cover(self, season: int, low_leaves: float = 0.6) -> tuple[float, int]:
        """Share of all beds under living leaves in the month that has most of it, and that month."""
        by_month = {month: self._low_leaves(season, middle_of(month), low_leaves) for month in range(1, 13)}
        # A month in which less is in leaf than in another cannot have more.
        most = [month for month, up in by_month.items() if not any(up < other for other in by_month.values())]
        return max(((self._share_under(by_month[month], season), month) for month in most), key=lambda found: found[0])

    def bare(self, season: int, day: float, low_leaves: float = 0.6) -> list[tuple[Ground, Cells]]:
        """By bed its cells, and those of them that lie under no living leaves within low_leaves metres of the ground."""
        from bedfellow.rules.border.cover import covered

        circles = [*self._circles(self._low_leaves(season, day, low_leaves), season), *self.strangers]
        return [(ground, ground.cells & ~covered(ground, circles)) for ground in self._grounds]

    def cover_by_layer(self, season: int, day: float) -> dict[str, float]:
        """Share of all beds under living leaves: by layer (ground, middle, top, as high as they are then) and under any."""
        from bedfellow.rules.border.cover import layers

        circles: dict[str, list[tuple[float, float, float]]] = {"ground": [], "middle": [], "top": []}
        for planting in self.standing:
            crown = self.crown_on(planting, season, day)
            if crown is None or not self.present(planting, season) or not self.in_leaf(planting, day):
                continue
            layer = layer_of(crown.top)
            radius = self._covers(planting, season)
            circles[layer] += [(x, y, radius) for x, y in planting.points]
        area = sum(ground.area for ground in self._grounds) or 1.0
        found = [(ground.area, layers(ground, circles)) for ground in self._grounds]
        return {name: sum(part * shares[name] for part, shares in found) / area for name in (*circles, "any")}

    def free_to_dig(self, season: int) -> float:
        """Share of all beds outside the root protection areas of trees that stay and the middles of woody plants.

        Within half the radius of its crown a shrub's roots are not dug among (common practice).
        """
        from bedfellow.rules.border.cover import covered, share

        rooted = [(*planting.points[0], planting.root_radius) for planting in self.retained if planting.root_radius]
        rooted += [
            (x, y, crown.greatest_radius / 2)
            for planting in self.standing
            if planting.woody and not planting.supported and self.present(planting, season)
            if (crown := self.crown(planting, season))
            for x, y in planting.points
        ]
        area = sum(ground.area for ground in self._grounds)
        taken = sum(ground.area * share(ground, covered(ground, rooted)) for ground in self._grounds)
        return 1 - taken / area if area else 0.0

    def _low_leaves(self, season: int, day: float, low_leaves: float) -> frozenset[int]:
        """Numbers of the plantings in leaf near the ground on a day."""
        return frozenset(
            planting.number
            for planting in self.standing
            if self.present(planting, season)
            and self.in_leaf(planting, day)
            and (crown := self.crown(planting, season))
            and crown.base <= low_leaves
        )

    def _covers(self, planting: Planting, season: int) -> float:
        """Radius in m that a plant covers: in a drift whose plants touch, their leaves close the gaps between circles too."""
        line, reach = planting.line, self.reach(planting, season)
        radius = reach.typical if reach else 0.0
        if not line.outline or not line.ground:
            return radius
        apart = sqrt(line.ground / (len(planting.points) * ROWS))
        return max(radius, apart / sqrt(3)) if 2 * radius >= apart else radius

    @cached_property
    def _grounds(self) -> list[Ground]:
        from bedfellow.rules.border.cover import ground_of

        return [ground_of(bed.outline, size=0.1) for bed in self.plan.borders]

    def _circles(self, numbers: frozenset[int], season: int) -> Iterator[tuple[float, float, float]]:
        """(x, y, radius) of the leaves of these plantings, in m."""
        for planting in self.standing:
            if planting.number in numbers:
                radius = self._covers(planting, season)
                yield from ((x, y, radius) for x, y in planting.points)

    def _share_under(self, numbers: frozenset[int], season: int) -> float:
        from bedfellow.rules.border.cover import covered, share

        known = (season, numbers)
        if known not in self._covered:
            circles = [*self._circles(numbers, season), *self.strangers]
            area = sum(ground.area for ground in self._grounds)
            under = sum(ground.area * share(ground, covered(ground, circles)) for ground in self._grounds)
            self._covered[known] = under / area if area else 0.0
        return self._covered[known]


def _cells(at: float, radius: float, ends: tuple[float, float], cell: float) -> range:
    """Numbers of the cells, along one side, that a circle touches between the ends."""
    first, last = max(at - radius, ends[0]), min(at + radius, ends[1])
    return range(floor(first / cell), floor(last / cell) + 1)
