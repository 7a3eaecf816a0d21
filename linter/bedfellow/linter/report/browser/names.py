"""Keys and signs on the drawing of the plan: what each plant is called, and which findings are about it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.browser.text import said
from bedfellow.linter.report.labels import Label, placed

if TYPE_CHECKING:
    from bedfellow.linter.report.browser.findings import Entry
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

MOST_SIGNS, MOST_NAMES = 60, 150  # that are shown at once; with more each is shown when it is chosen
LONGEST = 24  # letters of a key


def all_named(border: Border) -> bool:
    """Every plant has its key beside it."""
    return len(border.standing) + len(border.unknown_names) <= MOST_NAMES


def signs(entries: Sequence[Entry]) -> Iterator[tuple[Entry, int]]:
    """Which finding is signed at which plant: errors and warnings, at the first two that each is about."""
    for entry in entries:
        if entry.finding.level != "note":
            yield from ((entry, number) for number in entry.plants[:2])


def names(
    border: Border, entries: Sequence[Entry], frame: tuple[float, float, float, float], unit: float
) -> Iterator[str]:
    """Keys with their numbers of plants, and the signs of errors and warnings beside them; none lies over another.

    frame: least x, least y, greatest x, greatest y of the drawing in cm; unit: cm.
    """
    named = [
        (number, planting, _middle(planting)) for number, planting in enumerate(border.standing) if planting.points
    ]
    spots = {number: at for number, _, at in named}
    signed = [(entry, number, spots[number]) for entry, number in signs(entries) if number in spots]
    lost = [(line.key, _mean(line.at or line.outline)) for line in border.unknown_names if line.at or line.outline]
    words = [
        (f"{len(planting.points)} " if len(planting.points) > 1 else "") + _short(planting.key)
        for _, planting, _ in named
    ]
    words += [f"{_short(key)} ?" for key, _ in lost]
    places = [*(at for _, _, at in named), *(at for _, at in lost)]
    wanted = [
        Label(100 * x / unit, -100 * y / unit, 7.4 * len(text) + 4, 14)
        for (x, y), text in zip(places, words, strict=True)
    ]
    wanted += [Label(100 * x / unit, -100 * y / unit - 15, 19, 19) for _, _, (x, y) in signed]
    left, top, right, bottom = (edge / unit for edge in frame)
    # What is not shown at once stands at its plant, one over another.
    shown = 0 if len(words) > MOST_NAMES else len(words) if len(signed) > MOST_SIGNS else len(wanted)
    found = placed(wanted[:shown], (left, top, right, bottom))
    found += [(label.x, label.y) for label in wanted[len(found) :]]
    numbers = [number for number, _, _ in named] + [None] * len(lost)
    for text, (x, y), (at_x, at_y), number in zip(words, places, found, numbers, strict=False):
        whose = "" if number is None else f' data-label="{number}"'
        yield f'<g class="label"{whose}>'
        if abs(at_x * unit - 100 * x) + abs(at_y * unit + 100 * y) > 8 * unit:
            yield f'<line class="leader" x1="{100 * x:.0f}" y1="{-100 * y:.0f}" x2="{at_x * unit:.1f}" y2="{at_y * unit:.1f}"/>'
        yield f'<text x="{at_x * unit:.1f}" y="{(at_y + 4) * unit:.1f}" font-size="{12 * unit:.2f}">{said(text)}</text></g>'
    for (entry, _, _), (at_x, at_y) in zip(signed, found[len(words) :], strict=True):
        yield sign(entry, at_x * unit, at_y * unit, unit)


def _short(key: str) -> str:
    return key if len(key) <= LONGEST else key[: LONGEST - 1] + "…"


def sign(entry: Entry, x: float, y: float, unit: float = 1.0) -> str:
    """The number of a finding: in a square what is to be put right, in a circle what is to be looked at, in a lozenge a note."""
    level, half = entry.finding.level, 9 * unit
    shape = {
        "error": f'<rect x="{x - half:.1f}" y="{y - half:.1f}" width="{2 * half:.1f}" height="{2 * half:.1f}"/>',
        "warning": f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{1.06 * half:.1f}"/>',
    }.get(
        level,
        f'<path d="M{x - 1.35 * half:.1f} {y:.1f}L{x:.1f} {y - half:.1f}L{x + 1.35 * half:.1f} {y:.1f}L{x:.1f} {y + half:.1f}z"/>',
    )
    size = (12 if entry.number < 100 else 9.5) * unit
    number = f'<text x="{x:.1f}" y="{y + 4.2 * unit:.1f}" font-size="{size:.2f}">{entry.number}</text>'
    return f'<g class="sign {level}" data-finding="{entry.number - 1}">{shape}{number}</g>'


def _middle(planting: Planting) -> tuple[float, float]:
    """Where its key is written: the member nearest to the middle of a group."""
    return planting.nearest_to(_mean(planting.points)) if not planting.line.outline else _mean(planting.points)


def _mean(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
