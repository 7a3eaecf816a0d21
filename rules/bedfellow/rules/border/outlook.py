"""What is seen of a border from each place that it is looked at, and its run of frontage."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.rules.border.crown import Crown
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.border.shade import Shade
from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.rules.border.rays import Array


class View(NamedTuple):
    """A place from which the border is seen: a side of it, or a point (x, y) in metres; eye: metres above ground."""

    name: str
    side: str
    at: tuple[float, float] | None
    eye: float


class Seen(NamedTuple):
    """Shares of m points over a planting that are seen from each viewing place, (m, e) each, and the points' weights, (m,)."""

    shares: tuple[Array, ...]
    weights: Array

    def best(self) -> float:
        """Share seen from the best of all places."""
        return max(float((self.weights @ shares).max() / self.weights.sum()) for shares in self.shares)

    def walking(self) -> float:
        """Share seen by somebody who walks along, the mean of a side's places; from the side that sees most."""
        return max(self.means())

    def means(self) -> tuple[float, ...]:
        """Share seen from each viewing place; of a side the mean of its places."""
        return tuple(float((self.weights @ shares).mean() / self.weights.sum()) for shares in self.shares)


class Outlook(Shade):
    """The plants of a plan as they are seen."""

    def frontage(self) -> tuple[float, float]:
        """Left and right end of the run of frontage in metres, over all beds."""
        left, _, right, _ = self.box
        return left, right

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, front, right and back of all beds in metres."""
        points = [point for bed in self.plan.borders for point in bed.outline]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return (min(xs), min(ys), max(xs), max(ys)) if points else (0.0, 0.0, 0.0, 0.0)

    @cached_property
    def of_the_bed(self) -> tuple[Planting, ...]:
        """Plantings, and the retained plants whose stems stand in a bed: what the border has to show."""
        beds = [bed.outline for bed in self.plan.borders]
        kept = (p for p in self.retained if any(inside(p.points[0], outline) for outline in beds))
        return (*self.plantings, *kept)

    @cached_property
    def views(self) -> tuple[View, ...]:
        """From where the border is seen, as the plan states; from the front where it states nothing."""
        from bedfellow.rules.border.sight import SIDES, STANDING

        stated = [
            View(place.name or ("a viewing place" if place.at else side), side, place.at, place.eye or STANDING)
            for place in self.plan.viewing
            for side in (SIDES if place.side == "all round" else (place.side or "",))
        ]
        return tuple(stated) or (View("front", "front", None, STANDING),)

    def seen(
        self, subjects: Sequence[tuple[Planting, Crown]], season: int, day: float, most_members: int
    ) -> dict[int, Seen]:
        """What is seen of plantings on a day, by number; those without a place are left out.

        subjects: a planting with the solid that is looked at; most_members: of a large drift about so many are looked at.
        From a side five eyes stand before each point and 1 and 2 m to either side.
        """
        import numpy as np

        from bedfellow.rules.border.sight import eyes_facing, silhouette, visible_share

        points, weights, ends = [], [], [0]
        placed = [(planting, shape) for planting, shape in subjects if planting.points]
        for planting, shape in placed:
            step = max(1, len(planting.points) // most_members)
            drawn = [silhouette(x, y, shape) for x, y in planting.points[::step]]
            points += [places for places, _ in drawn]
            weights.append(np.concatenate([shares for _, shares in drawn]))
            ends.append(ends[-1] + len(weights[-1]))
        if not placed:
            return {}
        targets, views, box = np.concatenate(points), self.views, self.box
        eyes = [
            eyes_facing(targets, view.side, box, view.eye)
            if view.at is None
            else np.broadcast_to(np.array([*view.at, view.eye]), (len(targets), 1, 3))
            for view in views
        ]
        solids, passes = self.solids(season, [day], risen=True)
        owners = np.repeat([planting.number for planting, _ in placed], np.diff(ends))
        shares = visible_share(targets, owners, np.concatenate(eyes, axis=1), solids, passes[:, 0])
        by_view = np.split(shares, np.cumsum([part.shape[1] for part in eyes])[:-1], axis=1)
        return {
            planting.number: Seen(tuple(part[low:high] for part in by_view), weight)
            for (planting, _), low, high, weight in zip(placed, ends, ends[1:], weights, strict=False)
        }

    def front_elevation(self, season: int, day: float) -> list[float]:
        """Greatest height in m of what stands there on a day, at the middle of each 0.1 m of the run of frontage, left to right."""
        from bedfellow.rules.border.sight import elevation

        crowns = (
            (x, crown)
            for planting in self.of_the_bed
            if not planting.supported
            and self.present(planting, season)
            and (crown := self.crown_on(planting, season, day))
            for x, _ in planting.points
        )
        left, right = self.frontage()
        return elevation(left, right, crowns)

    def share_of_frontage(self, plantings: Iterable[Planting], season: int) -> float:
        """Share of the run of frontage that the crowns of these plantings take up, and plants that are not known."""
        left, right = self.frontage()
        circles = [
            (x, crown.greatest_radius)
            for planting in plantings
            if self.present(planting, season) and (crown := self.crown(planting, season))
            for x, _ in planting.points
        ]
        circles += [(x, radius) for x, _, radius in self.strangers]
        runs = sorted((max(left, x - radius), min(right, x + radius)) for x, radius in circles)
        taken, reached = 0.0, left
        for start, end in runs:
            if end > reached:
                taken += end - max(start, reached)
                reached = end
        return taken / (right - left) if right > left else 0.0
