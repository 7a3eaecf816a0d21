"""Which kinds of change may mend which finding."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import chain

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.changes import dates, moves, places, planting, spot
from bedfellow.linter.repair.changes.repair import Repair
from bedfellow.rules.border.border import Border
from bedfellow.rules.finding import Finding

MOVED: Sequence[str] = (
    "SPACE-01", "SPACE-04", "SPACE-05", "SPACE-06", "SPACE-07", "SPACE-10", "SPACE-12", "CLIMB-02", "SITE-06", "TREE-02", "TREE-03",
    "TREE-04", "TREE-05", "SAFE-03", "SAFE-04", "SAFE-06", "SITE-08", "LIGHT-05", "BULB-06",
)  # fmt: skip
SWAPPED: Sequence[str] = (
    "SPACE-11", "SITE-01", "SITE-02", "SITE-03", "SITE-04", "SITE-05", "SITE-07", "SITE-09", "SITE-10", "SITE-11", "LIGHT-01",
    "LIGHT-02", "LIGHT-06", "SAFE-01", "SAFE-02", "VIGOUR-01", "VIGOUR-02", "VIGOUR-03", "VIGOUR-04", "VIGOUR-05", "CLIMB-03",
    "SEASON-04", "COLOUR-01", "COLOUR-02", "FILL-01", "FILL-02", "TREE-02", "SPACE-01", "SPACE-02", "SPACE-05", "BULB-03",
)  # fmt: skip
ADDED: Sequence[str] = (
    "SEASON-01", "SEASON-06", "SEASON-07", "WINTER-01", "WINTER-02", "LAYER-02", "LAYER-03", "LAYER-07", "COVER-01", "COVER-03",
    "FILL-04", "BULB-01", "BULB-02", "LAYER-06", "SEASON-05",
)  # fmt: skip
MENDS: dict[str, Callable[[Finding, Border], Iterator[Repair]]] = {
    **dict.fromkeys(MOVED, moves.move), "LIGHT-01": moves.into_sun, "LIGHT-02": moves.out_of_sun, "LAYER-01": moves.exchange,
    "SPACE-02": spot.canopy, "STOCK-01": spot.quantity, "STOCK-02": spot.quantity, "SPACE-08": spot.quantity,
    "COVER-02": spot.as_usual, "PLAN-03": places.into_a_bed, "STOCK-03": spot.name, "STOCK-04": spot.name, "STOCK-07": spot.scheduled, "CLIMB-01": spot.support, "VIGOUR-01": spot.deadheaded,
    "COVER-05": spot.mulch, "STOCK-05": dates.lifted, "STOCK-06": dates.in_its_time, "WINTER-03": dates.task_in,
    "BULB-04": dates.task_in, "FILL-05": dates.after_frost, "FILL-03": dates.closing, "WINTER-05": dates.cut_stems,
    "CARE-02": spot.foothold, "BULB-05": spot.as_usual, "CARE-04": dates.stake, "CARE-06": dates.water,
}  # fmt: skip
CHANGES: dict[str, Callable[[Finding, Border, Options], Iterator[Repair]]] = {
    **dict.fromkeys(SWAPPED, planting.swap), **dict.fromkeys(ADDED, planting.add),
}  # fmt: skip


def repairs(finding: Finding, border: Border, options: Options, design: bool) -> Iterator[Repair]:
    """What may mend a finding, the likeliest first; nothing for a plant that is locked.

    design: what changes the design too.
    """
    keeps, changes = MENDS.get(finding.code), CHANGES.get(finding.code)
    first = keeps(finding, border) if keeps else ()
    then = changes(finding, border, options) if changes and design else ()
    for repair in chain(first, then):
        if (repair.keeps_design or design) and not locked(repair.keys, border):
            yield repair


def known(code: str) -> bool:
    """A repair is known for a code, one that keeps the design or not."""
    return code in MENDS or code in CHANGES


def locked(keys: Sequence[str], border: Border) -> list[str]:
    """Full names of the plants among them that nobody may touch."""
    found = (border.by_key.get(key) for key in keys)
    return [one.title for one in found if one and one.line.locked]
