"""The plan to scale as one plain SVG: outline, structures, crowns in a chosen season, keys, and findings where they are."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from html import escape
from math import cos, radians, sin

from bedfellow.linter.engine import Result
from bedfellow.linter.report.labels import Label, placed
from bedfellow.linter.report.plain import plain
from bedfellow.rules.finding import Finding, Level

SCALE = 60.0  # drawing units a metre
MARGIN = 1.0  # m about the bed
SIGNS: dict[Level, str] = {"error": "#b3261e", "warning": "#b26a00", "note": "#2b5a8a"}


def drawing(result: Result, season: int = 10) -> str:
    """The drawing of a result; needs a plan with an outline. Raises ValueError where there is nothing to draw."""
    border = result.border
    if border is None or not border.plan.borders:
        raise ValueError("there is no outline to draw: the plan could not be read, or states no border")
    corners = [point for bed in border.plan.borders for point in bed.outline]
    corners += [point for structure in border.plan.structures for point in structure.points]
    left, right = min(x for x, _ in corners) - MARGIN, max(x for x, _ in corners) + MARGIN
    low, high = min(y for _, y in corners) - MARGIN, max(y for _, y in corners) + MARGIN
    numbered = [f for f in result.findings if f.level != "note"]
    width, height = (right - left) * SCALE, (high - low) * SCALE
    rows = [textwrap.wrap(f"{f.code}  {plain(f.message)}", int(width / 8)) for f in numbered]
    cautions = [line for text in result.cautions for line in textwrap.wrap(f"Caution: {plain(text)}", int(width / 8))]
    listing = 18 * (sum(map(len, rows)) + len(cautions)) + 10 * len(rows) + 70
    body = [
        *_frame(result, left, low, right, high), *_ground(result), *_crowns(result, season),
        *_names(result, numbered, (left * SCALE, -high * SCALE, right * SCALE, -low * SCALE)),
        *_list(numbered, rows, cautions, left, low, season),
    ]  # fmt: skip
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{left * SCALE:.0f} {-high * SCALE:.0f} {width:.0f} {height + listing:.0f}" '
        f'width="{width:.0f}" height="{height + listing:.0f}" font-family="sans-serif" font-size="13">\n'
        f'<rect x="{left * SCALE:.0f}" y="{-high * SCALE:.0f}" width="{width:.0f}" height="{height + listing:.0f}" fill="#fff"/>\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )


def _xy(x: float, y: float) -> str:
    return f"{x * SCALE:.1f},{-y * SCALE:.1f}"


def _middle(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Mean of some points, in metres."""
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def _text(x: float, y: float, words: str, more: str = "") -> str:
    return f'<text x="{x * SCALE:.1f}" y="{-y * SCALE:.1f}" {more}>{escape(plain(words))}</text>'


def _frame(result: Result, left: float, low: float, right: float, high: float) -> Iterator[str]:
    border = result.border
    assert border is not None
    yield _text(left + 0.2, high - 0.35, border.plan.title or result.document.name, 'font-size="17"')
    for metre in range(6):
        yield f'<line x1="{(left + 0.3 + min(metre, 5)) * SCALE:.1f}" y1="{-(low + 0.3) * SCALE:.1f}" x2="{(left + 0.3 + min(metre, 5)) * SCALE:.1f}" y2="{-(low + 0.4) * SCALE:.1f}" stroke="#000"/>'
    yield f'<polyline points="{_xy(left + 0.3, low + 0.3)} {_xy(left + 5.3, low + 0.3)}" stroke="#000" fill="none"/>'
    yield _text(left + 5.4, low + 0.25, "5 m")
    site = border.plan.site
    if site.faces is not None or site.north is not None:
        # The y axis points away from the front; north lies so many degrees clockwise from it.
        turn = radians(-(site.faces + 180)) if site.faces is not None else radians(-(site.north or 0))
        x, y = right - 0.6, high - 0.6
        tip = (x + 0.4 * sin(turn), y + 0.4 * cos(turn))
        yield f'<line x1="{(2 * x - tip[0]) * SCALE:.1f}" y1="{-(2 * y - tip[1]) * SCALE:.1f}" x2="{tip[0] * SCALE:.1f}" y2="{-tip[1] * SCALE:.1f}" stroke="#000" stroke-width="2"/>'
        yield f'<circle cx="{tip[0] * SCALE:.1f}" cy="{-tip[1] * SCALE:.1f}" r="4"/>'
        yield _text(tip[0] + 0.1, tip[1] - 0.05, "N", 'font-weight="bold"')


def _ground(result: Result) -> Iterator[str]:
    plan = result.plan
    assert plan is not None
    for bed in plan.borders:
        yield f'<polygon points="{" ".join(_xy(*point) for point in bed.outline)}" fill="#f6f2ea" stroke="#000" stroke-width="2"/>'
    for structure in plan.structures:
        shape, fill = ("polygon", "#ddd") if len(structure.points) > 2 else ("polyline", "none")
        points = " ".join(_xy(*point) for point in structure.points)
        yield f'<{shape} points="{points}" fill="{fill}" stroke="#000" stroke-width="5"><title>{escape(plain(structure.kind))}</title></{shape}>'


def _crowns(result: Result, season: int) -> Iterator[str]:
    border = result.border
    assert border is not None
    tall_last = sorted(border.plantings, key=lambda p: crown.top if (crown := border.crown(p, season)) else 0.0)
    for planting in tall_last:
        crown = border.crown(planting, season)
        if planting.line.outline:
            outline = " ".join(_xy(*point) for point in planting.line.outline)
            yield f'<polygon points="{outline}" fill="none" stroke="#5b7553" stroke-dasharray="4 4"/>'
        # A climber is drawn where it is rooted; its crown is on the wall or in the host.
        radius = crown.greatest_radius if crown and not planting.supported else 0.1
        fill = "#8fa98733" if planting.evergreen else "#fff6"
        for x, y in planting.points:
            yield (
                f'<circle cx="{x * SCALE:.1f}" cy="{-y * SCALE:.1f}" r="{radius * SCALE:.1f}" fill="{fill}" stroke="#5b7553" '
                f'stroke-width="{2 if planting.woody else 0.7}"><title>{escape(plain(planting.title))}</title></circle>'
            )
    for line in border.unknown_names:
        # Of a plant that is not known only the ground stated for it can be shown.
        outline = " ".join(_xy(*point) for point in line.outline)
        yield f'<polygon points="{outline}" fill="none" stroke="#000" stroke-dasharray="1 4"/>'
        for x, y in line.at:
            yield f'<circle cx="{x * SCALE:.1f}" cy="{-y * SCALE:.1f}" r="4" fill="none" stroke="#000" stroke-dasharray="1 2"/>'


def _names(result: Result, numbered: list[Finding], frame: tuple[float, float, float, float]) -> Iterator[str]:
    """Keys with their numbers of plants, and signs of findings beside them; none lies over another."""
    border = result.border
    assert border is not None
    grounds = {line.key: (line.at or line.outline, f"{line.key} ?") for line in border.unknown_names}
    for planting in border.plantings:
        count = f" {len(planting.points)}" if len(planting.points) > 1 else ""
        grounds[planting.key] = (planting.points, planting.key + count)
    named = {key: (_middle(points), words) for key, (points, words) in grounds.items() if points}
    signed = [(n, f, key) for n, f in enumerate(numbered, 1) for key in f.keys[:2] if key in named]
    labels = [Label(x * SCALE, -y * SCALE, 8.0 * len(words) + 4, 16) for (x, y), words in named.values()]
    labels += [Label(named[key][0][0] * SCALE, -named[key][0][1] * SCALE - 17, 20, 20) for _, _, key in signed]
    spots = placed(labels, frame)
    for ((x, y), words), (at_x, at_y) in zip(named.values(), spots, strict=False):
        if abs(at_x - x * SCALE) + abs(at_y + y * SCALE) > 1:
            yield f'<line x1="{x * SCALE:.1f}" y1="{-y * SCALE:.1f}" x2="{at_x:.1f}" y2="{at_y:.1f}" stroke="#5b7553" stroke-width="0.7"/>'
            yield f'<circle cx="{x * SCALE:.1f}" cy="{-y * SCALE:.1f}" r="1.5" fill="#5b7553"/>'
        halo = 'text-anchor="middle" paint-order="stroke" stroke="#fff" stroke-width="4"'
        yield _text(at_x / SCALE, -(at_y + 4.5) / SCALE, words, halo)
    for (number, finding, _), (at_x, at_y) in zip(signed, spots[len(named) :], strict=True):
        yield from _sign(at_x / SCALE, -at_y / SCALE, number, finding)


def _sign(x: float, y: float, number: int, finding: Finding) -> Iterator[str]:
    """Errors in a square, warnings in a circle: told apart without colour."""
    paint = SIGNS[finding.level]
    title = f"<title>{escape(plain(finding.message))}</title>"
    if finding.level == "error":
        yield f'<rect x="{x * SCALE - 9:.1f}" y="{-y * SCALE - 9:.1f}" width="18" height="18" fill="{paint}">{title}</rect>'
    else:
        yield f'<circle cx="{x * SCALE:.1f}" cy="{-y * SCALE:.1f}" r="9.5" fill="{paint}">{title}</circle>'
    yield f'<text x="{x * SCALE:.1f}" y="{-y * SCALE + 4.5:.1f}" fill="#fff" text-anchor="middle" font-size="12">{number}</text>'


def _list(
    numbered: list[Finding], rows: list[list[str]], cautions: list[str], left: float, low: float, season: int
) -> Iterator[str]:
    x, y = (left + 0.3) * SCALE, -low * SCALE + 18
    yield f'<text x="{x:.0f}" y="{y:.0f}">Crowns in season {season}; evergreens shaded, woody plants in heavy line, unknown plants dotted.</text>'
    yield f'<text x="{x:.0f}" y="{y + 18:.0f}">Squares are faults to put right, circles things to look at.</text>'
    y += 46
    for number, (finding, lines) in enumerate(zip(numbered, rows, strict=True), 1):
        yield from _sign(x / SCALE + 0.15, -(y - 5) / SCALE, number, finding)
        for line in lines:
            yield f'<text x="{x + 26:.0f}" y="{y:.0f}">{escape(line)}</text>'
            y += 18
        y += 10
    for line in cautions:
        yield f'<text x="{x:.0f}" y="{y:.0f}" font-style="italic">{escape(line)}</text>'
        y += 18
