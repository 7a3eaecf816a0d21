"""What is written on a plan: keys, places and the signs of findings, none over another, each linked to where it belongs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.drawings import findings
from bedfellow.linter.report.drawings.sheet import FAINT, GREY, INK, SMALL, TEXT, Pen, circle, line, text
from bedfellow.linter.report.drawings.typeface import Span, shortened, width
from bedfellow.linter.report.labels import Label, placed

if TYPE_CHECKING:
    from bedfellow.rules.finding import Level

STEP = 1.1  # mm between two places that are tried
WIDEST = 60.0  # mm
AIR = 0.6  # mm about the letters
STYLES = {"key": "bold", "place": "italic", "figure": "regular"}


class Name(NamedTuple):
    """at: mm on the sheet; kind: key, finding, place or figure; lower: mm below `at` where it is wanted."""

    at: tuple[float, float]
    words: str
    kind: str
    level: Level = "note"
    told: str = ""
    lower: float = 0.0


def named(
    names: Iterable[Name], edges: tuple[float, float, float, float], around: Sequence[Label] = ()
) -> Iterator[str]:
    """The names as SVG, each as near as it can be to its place; with a line to it where it is not upon it."""
    told = [name._replace(words=shortened(name.words, _size(name), WIDEST)) for name in names]
    labels = [_label(name, edges) for name in told]
    spots = placed(labels, edges, STEP, around)
    for name, label, spot in zip(told, labels, spots, strict=True):
        if name.kind in ("key", "finding"):
            yield from _link(name, label, spot)
    for name, (x, y) in zip(told, spots, strict=True):
        if name.kind == "finding":
            yield findings.sign(name.level, int(name.words), x, y, name.told)
        else:
            words, colour = (Span(name.words, STYLES[name.kind]),), GREY if name.kind == "place" else INK
            size, halo = _size(name), name.kind != "figure"
            yield text(x, y + size * 0.36, words, size, "middle", halo=halo, colour=colour, class_=name.kind)


def _size(name: Name) -> float:
    return TEXT if name.kind == "key" else SMALL


def _label(name: Name, edges: tuple[float, float, float, float]) -> Label:
    if name.kind == "finding":
        wide, high = 2 * findings.HALF + 1.8, 2 * findings.HALF + 0.8
    else:
        wide, high = width((Span(name.words, STYLES[name.kind]),), _size(name)) + 2 * AIR, _size(name) * 1.05
    left, top, right, bottom = edges
    x = min(max(name.at[0], left + wide / 2 + 0.1), right - wide / 2 - 0.1)
    y = min(max(name.at[1] + name.lower, top + high / 2 + 0.1), bottom - high / 2 - 0.1)
    return Label(x, y, wide, high)


def _link(name: Name, label: Label, spot: tuple[float, float]) -> Iterator[str]:
    """A thin line from a name that was moved to the place that it names."""
    (x, y), (at_x, at_y) = spot, name.at
    reach_x, reach_y = label.width / 2, label.height / 2
    away = max(abs(at_x - x) - reach_x, abs(at_y - y) - reach_y)
    if away < 3.2:
        return
    # To the edge of the label that faces the place.
    end = min(max(at_x, x - reach_x), x + reach_x), min(max(at_y, y - reach_y), y + reach_y)
    yield line(*name.at, *end, Pen(FAINT, INK)) + circle(*name.at, 0.35, Pen(0, fill=INK))
