"""Every line of a plan with where its plants stand and how large they are in a season, known plants and others alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.rules.border.planting import members
from bedfellow.schema.geometry import Point

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.schema.plan import Line


class Placed(NamedTuple):
    """name: as the plan writes it; points: of its members; height, spread and radius of the crown in m, None where they are not known.

    there: it is there in that season; a temporary one has gone, one planted later has not come.
    """

    line: Line
    points: tuple[Point, ...]
    height: float | None
    spread: float | None
    there: bool

    @property
    def drift(self) -> bool:
        """Its members stand where its outline puts them."""
        return bool(self.line.outline)


def placed(border: Border, season: int) -> Iterator[Placed]:
    """The lines of a plan in its order."""
    known = {planting.line.path: planting for planting in border.plantings}
    for line in border.plan.lines:
        planting = known.get(line.path)
        size = border.size(planting, season) if planting else None
        there = planting is None or border.present(planting, season)
        yield Placed(
            line, planting.points if planting else members(line),
            size.height.typical if size else None, size.spread.typical if size else None, there,
        )  # fmt: skip
