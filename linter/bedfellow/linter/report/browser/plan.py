"""The drawing of the plan as it stands in the page: what never changes, and a group for each plant that the scripts redraw.

In centimetres, x to the right and y down. Lines and signs are measured in `unit`s, of which a drawing is 800 wide, so that
they look alike on a small bed and a large one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, radians, sin
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.browser.names import all_named, names
from bedfellow.linter.report.browser.text import said

if TYPE_CHECKING:
    from bedfellow.linter.report.browser.findings import Entry
    from bedfellow.rules.border.border import Border

MARGIN, WIDTH = 0.6, 800
Points = Sequence[tuple[float, float]]


class Frame(NamedTuple):
    """What is drawn, in m, and the size of a unit in cm."""

    left: float
    front: float
    right: float
    back: float

    @property
    def unit(self) -> float:
        return 100 * (self.right - self.left) / WIDTH


def frame_of(border: Border) -> Frame:
    """The beds, all that stands and is planted, and as much of the structures and surfaces as lies near."""
    plan = border.plan
    points = [point for bed in plan.borders for point in bed.outline]
    points += [point for planting in border.standing for point in planting.points]
    points = points or [(0.0, 0.0), (1.0, 1.0)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    front, back = min(y for _, y in points), max(y for _, y in points)
    near = 2.0
    for structure in plan.structures:
        for x, y in structure.points:
            if left - near <= x <= right + near and front - near <= y <= back + near:
                left, right, front, back = min(left, x), max(right, x), min(front, y), max(back, y)
    wide = max(right - left, 1.0)
    # Room for the north point, the scale bar and labels beside the plants.
    return Frame(left - MARGIN, front - max(MARGIN, 0.06 * wide), right + MARGIN, back + max(MARGIN, 0.06 * wide))


def drawing(border: Border, entries: Sequence[Entry]) -> str:
    """The SVG, with plants by number (data-plant) and the signs of findings (data-finding)."""
    frame = frame_of(border)
    edges = (100 * frame.left, -100 * frame.back, 100 * frame.right, -100 * frame.front)
    box = f"{edges[0]:.0f} {edges[1]:.0f} {edges[2] - edges[0]:.0f} {edges[3] - edges[1]:.0f}"
    parts = [*_ground(border), '<g id="plan-light"></g>', *_drifts(border), '<g id="plan-plants">', *_plants(border, frame), "</g>",
             *_structures(border), *_strangers(border), *names(border, entries, edges, frame.unit), *_bearings(border, frame)]  # fmt: skip
    return (
        f'<svg id="plan" class="{"" if all_named(border) else "unnamed"}" viewBox="{box}" role="img" aria-labelledby="plan-title plan-says" data-unit="{frame.unit:.4f}">'
        f'<title id="plan-title">{said(border.plan.title or "The border")}, plan to scale</title><desc id="plan-says"></desc>'
        f"{_hatch(frame.unit)}{''.join(parts)}</svg>"
    )


def _hatch(unit: float) -> str:
    """Evergreen leaves are hatched, so that they are told without colour."""
    step = 5 * unit
    return (
        f'<defs><pattern id="hatch" width="{step:.2f}" height="{step:.2f}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="{step:.2f}" height="{step:.2f}" class="hatch-ground"/><line x1="0" y1="0" x2="0" y2="{step:.2f}" class="hatch-line" '
        f'stroke-width="{1.4 * unit:.2f}"/></pattern></defs>'
    )


def _xy(point: tuple[float, float]) -> str:
    return f"{100 * point[0]:.0f},{-100 * point[1]:.0f}"


def _shape(points: Points, names: str, title: str = "", more: str = "") -> str:
    shape = "polygon" if len(points) > 2 else "polyline"
    told = f"<title>{said(title)}</title>" if title else ""
    return f'<{shape} class="{names}" points="{" ".join(map(_xy, points))}"{more}>{told}</{shape}>'


def _ground(border: Border) -> Iterator[str]:
    for surface in border.plan.surfaces:
        if len(surface.ground) > 2:
            yield _shape(surface.ground, "surface", surface.kind)
    for bed in border.plan.borders:
        yield _shape(bed.outline, "bed", bed.name)


def _structures(border: Border) -> Iterator[str]:
    for number, structure in enumerate(border.plan.structures):
        name = f"{structure.kind} {structure.key or ''}".strip()
        if len(structure.points) > 1:
            yield _shape(structure.points, "structure", name, f' data-structure="{number}"')
        for x, y in structure.points[:1] if len(structure.points) == 1 else ():
            yield f'<circle class="structure" cx="{100 * x:.0f}" cy="{-100 * y:.0f}" r="6" data-structure="{number}"><title>{said(name)}</title></circle>'


def _drifts(border: Border) -> Iterator[str]:
    for number, planting in enumerate(border.standing):
        if planting.line.outline:
            yield _shape(planting.line.outline, "drift", "", f' data-drift="{number}"')


def _plants(border: Border, frame: Frame) -> Iterator[str]:
    """Crown, flower and stem of each member; their sizes and colours are set by the scripts."""
    for number, planting in enumerate(border.standing):
        kind = "woody" if planting.woody or planting.kept else "herb"
        yield f'<g class="plant {kind}" data-plant="{number}"><title>{said(planting.title)}</title>'
        arm = (4 if kind == "woody" else 2) * frame.unit
        for x, y in planting.points:
            at = f'cx="{100 * x:.0f}" cy="{-100 * y:.0f}"'
            cross = (
                f"M{100 * x - arm:.1f} {-100 * y:.0f}h{2 * arm:.1f}M{100 * x:.0f} {-100 * y - arm:.1f}v{2 * arm:.1f}"
            )
            yield f'<circle class="crown" {at} r="0"/><circle class="bloom" {at} r="0"/><path class="stem" d="{cross}"/>'
        yield "</g>"


def _strangers(border: Border) -> Iterator[str]:
    """Of a plant that is not known only the ground stated for it can be shown."""
    for line in border.unknown_names:
        if line.outline:
            yield _shape(line.outline, "stranger", f"{line.name}, not known")
        for x, y in line.at:
            yield f'<circle class="stranger" cx="{100 * x:.0f}" cy="{-100 * y:.0f}" r="8"><title>{said(line.name)}, not known</title></circle>'


def _bearings(border: Border, frame: Frame) -> Iterator[str]:
    """Scale bar, and north where the plan says where it lies."""
    unit = frame.unit
    x, y = 100 * frame.left + 14 * unit, -100 * frame.front - 14 * unit
    length = max(m for m in (1, 2, 5, 10, 20, 50) if m == 1 or 100 * m <= 250 * unit)
    yield f'<path class="scale" d="M{x:.0f} {y - 5 * unit:.1f}v{5 * unit:.1f}h{100 * length}v{-5 * unit:.1f}M{x + 50 * length:.0f} {y:.1f}v{-4 * unit:.1f}"/>'
    yield f'<text class="measure" x="{x + 100 * length + 6 * unit:.1f}" y="{y + 3 * unit:.1f}" font-size="{12 * unit:.2f}">{length} m</text>'
    site = border.plan.site
    if site.faces is None and site.north is None:
        return
    # The bearing of +y; north lies as many degrees the other way round.
    turn = radians(-border.bearing((0, 0), (0, 1)))
    x, y, arm = 100 * frame.right - 28 * unit, -100 * frame.back + 38 * unit, 17 * unit
    ahead, aside = (sin(turn), -cos(turn)), (cos(turn), sin(turn))
    tip = (x + arm * ahead[0], y + arm * ahead[1])
    tail = [
        (x - arm * ahead[0] + part * 6 * unit * aside[0], y - arm * ahead[1] + part * 6 * unit * aside[1])
        for part in (1, -1)
    ]
    yield f'<path class="north" d="M{tip[0]:.1f} {tip[1]:.1f}L{tail[0][0]:.1f} {tail[0][1]:.1f}L{x - 0.5 * arm * ahead[0]:.1f} {y - 0.5 * arm * ahead[1]:.1f}L{tail[1][0]:.1f} {tail[1][1]:.1f}z"/>'
    name = (x + 1.5 * arm * ahead[0], y + 1.5 * arm * ahead[1] + 4 * unit)
    yield f'<text class="measure middle" x="{name[0]:.1f}" y="{name[1]:.1f}" font-size="{12 * unit:.2f}">N</text>'
