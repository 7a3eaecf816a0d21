"""The legend of the plan: the words of each sign, and a sample of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from bedfellow.linter.report.drawings.sheet import FAINT, FINE, THIN, Pen, circle, line, rect
from bedfellow.linter.report.drawings.signs import (
    BED,
    BOUNDARY,
    BULB,
    CLIMBS,
    DECIDUOUS,
    DRIFT,
    EVERGREEN,
    GROUND,
    HERBACEOUS,
    HERBACEOUS_EVERGREEN,
    KEPT,
    LEAVING,
    LINK,
    RED,
    ROOTS,
    SERVICES,
    SOIL,
    STRUCTURES,
    TEMPORARY,
    UNKNOWN,
    WORKED,
    Look,
    along,
    crosses,
    eye,
    root,
    service,
)

FILLS = {
    "grass": "grass",
    "paved": "path, paving or drive",
    "gravel": "gravel",
    "water": "water",
    "boards": "seat or deck",
}
PLACES = ("post", "obelisk", "chamber", "soakaway", "oil tank")


def _structure_sample(look: Look) -> str:
    if look.pen.fill != "none" and look.mark not in PLACES:
        return rect(0, -1.8, 10, 3.6, look.pen)
    return along(look, [(5, 0)] if look.mark in PLACES else [(0, 0), (12, 0)], False)


def _service_sample(kind: str) -> str:
    return service(kind, [(5, 0)] if kind in PLACES else [(0, 0), (12, 0)])


def _box(pen: Pen) -> Callable[[], str]:
    return lambda: rect(0, -1.8, 10, 3.6, pen)


def _ring(pen: Pen, middle: str = "") -> Callable[[], str]:
    return lambda: circle(5, 0, 2, pen) + (middle or crosses([(5, 0)], 0.7))


LEGEND: Mapping[str, tuple[str, Callable[[], str]]] = {
    "bed": ("edge of a bed", _box(BED)),
    "evergreen": ("evergreen tree or shrub, crown", _ring(EVERGREEN)),
    "deciduous": ("deciduous tree or shrub, crown", _ring(DECIDUOUS)),
    "herbaceous": ("perennial, grass or fern", _ring(HERBACEOUS)),
    "herbaceous evergreen": ("perennial, grass or fern, evergreen", _ring(HERBACEOUS_EVERGREEN)),
    "bulb": ("bulbs", lambda: "".join(circle(x, 0, 0.4, BULB) for x in (3, 5, 7))),
    "drift": ("edge of a drift or group of plants", lambda: rect(0, -1.8, 10, 3.6, DRIFT)),
    "link": ("plants of one line of the plan", lambda: line(1, 0, 9, 0, LINK) + crosses([(1, 0), (9, 0)], 0.7)),
    "climber": ("climber at its root, and what it climbs on", lambda: line(2, 0, 9, 0, CLIMBS) + root(2, 0)),
    "temporary": ("plants that stay for a time only", _ring(TEMPORARY)),
    "absent": ("not there in this season", lambda: circle(5, 0, 1.2, Pen(FAINT, dash=(0.3, 0.5)))),
    "unknown": ("plant whose name is not known; size not drawn", lambda: circle(5, 0, 1.5, UNKNOWN)),
    "unsized": ("plant whose size is not known", lambda: crosses([(5, 0)]) + circle(5, 0, 0.6, Pen(FINE))),
    "kept": ("plant that was there before and stays", _ring(KEPT)),
    "leaving": ("plant that is to be moved or taken out", _ring(LEAVING, line(3.6, -1.4, 6.4, 1.4, LEAVING))),
    "roots": ("root protection area (after BS 5837)", _ring(ROOTS)),
    "soil": ("ground with soil of its own", _box(SOIL)),
    "boundary": ("boundary", lambda: line(0, 0, 14, 0, BOUNDARY)),
    "splay": ("sight line of a drive: planting stays low", _box(Pen(THIN, RED, (1.2, 1.2)))),
    "worked": ("ground to be raised, lowered or dug", _box(WORKED)),
    "surface": ("other surfaces, as named", _box(GROUND)),
    "view": ("viewing place", lambda: eye(5, 0)),
    **{f"ground {fill}": (words, _box(GROUND._replace(fill=f"url(#{fill})"))) for fill, words in FILLS.items()},
    **{kind: (kind, partial(_structure_sample, look)) for kind, look in STRUCTURES.items()},
    **{f"service {kind}": ("water main" if kind == "water" else kind, partial(_service_sample, kind)) for kind in SERVICES},
}  # fmt: skip
"""Name of a sign → its words, and a sample about (5, 0)."""
