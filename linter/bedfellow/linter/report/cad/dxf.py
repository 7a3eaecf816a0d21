"""A plan as a drawing in DXF, release 2010, in metres; ezdxf writes it.

A plant is a block at its centre with the attributes KEY, NAME and QUANTITY, its crown in the season a circle. Outlines and
lines carry a tag, a block of attributes half way along their first leg. The block BEDFELLOW-ORIGIN is the plan's origin.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.cad.placed import placed
from bedfellow.linter.report.plain import plain
from bedfellow.linter.survey.dxf import MARK, ORIGIN, PLACE, TAG
from bedfellow.linter.survey.layers import Role, layer_of
from bedfellow.linter.survey.matching import half_way
from bedfellow.schema.geometry import Point, inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

STEM = "STEM"
CROSS, TEXT = 0.05, 0.12  # m: half a plant's cross, height of a key; drawing practice at 1:50
ATTRIBUTES = {
    MARK: ("KEY", "NAME", "QUANTITY"),
    TAG: ("KEY", "NAME", "QUANTITY", "HEIGHT", "WIDTH"),
    PLACE: ("KEY", "NAME", "HEIGHT", "WIDTH"),
    STEM: ("KEY", "NAME", "ACTION", "HEIGHT", "CLEAR_STEM", "STEMS"),
}
# Colour (AutoCAD colour index) and line weight (hundredths of a mm) of each group: weights of drawing practice.
LOOKS = {
    "beds": (8, 50), "plants": (7, 35), "crowns": (3, 18), "drifts": (3, 35), "structures": (7, 70), "surfaces": (8, 25),
    "services": (4, 25), "boundaries": (6, 50), "retained": (34, 50), "roots": (30, 18), "keys": (7, 18),
}  # fmt: skip


def drawing(border: Border, season: int) -> str:
    """The text of the drawing; the same plan gives the same bytes."""
    import ezdxf

    with _fixed():
        document = ezdxf.new("R2010", setup=False, units=6)  # type: ignore[attr-defined]
        _blocks(document)
        sheet = _Sheet(document)
        sheet.space.add_blockref(ORIGIN, (0, 0), {"layer": sheet.layer(Role("keys"))})
        for draw in (_ground, _built, _kept, _plants):
            draw(sheet, border, season)
        document.header["$MEASUREMENT"] = 1
        document.header["$EXTMIN"], document.header["$EXTMAX"] = _extents(border)
        # The library would declare them in the order of a set, which differs from run to run.
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue()


@contextmanager
def _fixed() -> Iterator[None]:
    """Dates, identities and the library's own mark the same on every run."""
    import ezdxf

    options = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


class _Sheet:
    """The model space, and its layers as they come to be needed."""

    def __init__(self, document: Any) -> None:
        self.document, self.space = document, document.modelspace()

    def layer(self, role: Role) -> str:
        name = layer_of(role)
        if name not in self.document.layers:
            colour, weight = LOOKS[role.group]
            self.document.layers.add(name, color=colour, lineweight=weight)
        return name

    def outline(self, points: Sequence[Point], role: Role, closed: bool = True) -> None:
        self.space.add_lwpolyline(points, close=closed, dxfattribs={"layer": self.layer(role)})

    def tagged(self, block: str, at: Point, role: Role, said: Mapping[str, object]) -> None:
        """A block with its attributes; they are there to be read, and the key is drawn apart."""
        insert = self.space.add_blockref(block, at, {"layer": self.layer(role)})
        for tag in ATTRIBUTES[block]:
            if (value := said.get(tag)) not in (None, ""):
                insert.add_attrib(tag, plain(value), at, {"layer": self.layer(role), "height": TEXT, "flags": 1})

    def line(self, points: Sequence[Point], role: Role, said: Mapping[str, object], closed: bool) -> None:
        """An outline, a line or a place, with its tag; what has no place is left out."""
        if not points:
            return
        if len(points) == 1:
            self.tagged(PLACE, points[0], role, said)
            return
        self.outline(points, role, closed)
        if any(value not in (None, "") for value in said.values()):
            self.tagged(TAG, half_way(points), role, said)

    def key(self, text: str, at: Point) -> None:
        self.space.add_text(plain(text), height=TEXT, dxfattribs={"layer": self.layer(Role("keys"))}).set_placement(
            (at[0] + CROSS, at[1] + CROSS)
        )


def _blocks(document: Any) -> None:
    for name, tags in ATTRIBUTES.items():
        block = document.blocks.new(name)
        if name in (MARK, PLACE):
            block.add_line((-CROSS, 0), (CROSS, 0), {"layer": "0"})
            block.add_line((0, -CROSS), (0, CROSS), {"layer": "0"})
        elif name == STEM:
            block.add_line((-CROSS, -CROSS), (CROSS, CROSS), {"layer": "0"})
            block.add_line((-CROSS, CROSS), (CROSS, -CROSS), {"layer": "0"})
        for tag in tags:
            block.add_attdef(tag, (0, 0), dxfattribs={"layer": "0", "height": TEXT, "flags": 1, "prompt": tag})
    document.blocks.new(ORIGIN).add_point((0, 0), {"layer": "0"})


def _ground(sheet: _Sheet, border: Border, season: int) -> None:
    plan = border.plan
    for bed in plan.borders:
        sheet.line(bed.outline, Role("beds"), {"NAME": bed.name}, True)
    for surface in plan.surfaces:
        said = {"KEY": surface.key, "WIDTH": _figure(surface.width)}
        sheet.line(surface.outline or surface.points, Role("surfaces", surface.kind), said, bool(surface.outline))
    for edge in plan.boundaries:
        sheet.line(edge.ends, Role("boundaries"), {"KEY": edge.key}, False)


def _built(sheet: _Sheet, border: Border, season: int) -> None:
    for structure in border.plan.structures:
        said = {"KEY": structure.key, "HEIGHT": _figure(structure.height)}
        sheet.line(structure.points, Role("structures", structure.kind), said, bool(structure.outline))
        if structure.key and structure.points:
            sheet.key(structure.key, half_way(structure.points))
    for service in border.plan.services:
        sheet.line(service.ends, Role("services", service.kind), {}, False)


def _kept(sheet: _Sheet, border: Border, season: int) -> None:
    from bedfellow.rules.border.roots import root_protection_radius

    for plant in border.plan.retained:
        stems = " ".join(f"{stem:g}" for stem in plant.stems)
        said = {
            "KEY": plant.key, "NAME": plant.name, "ACTION": plant.action, "HEIGHT": _figure(plant.height),
            "CLEAR_STEM": _figure(plant.clear_stem), "STEMS": stems,
        }  # fmt: skip
        sheet.tagged(STEM, plant.at, Role("retained"), said)
        sheet.key(plant.key, plant.at)
        if plant.crown:
            radius = sum(plant.crown) / len(plant.crown)
            sheet.space.add_circle(plant.at, radius, {"layer": sheet.layer(Role("crowns"))})
        if plant.stems and plant.action == "keep":
            radius = root_protection_radius(plant.stems)
            sheet.space.add_circle(plant.at, radius, {"layer": sheet.layer(Role("roots"))})


def _plants(sheet: _Sheet, border: Border, season: int) -> None:
    for one in placed(border, season):
        said = {"KEY": one.line.key, "NAME": one.line.name, "QUANTITY": one.line.number}
        if one.drift:
            sheet.outline(one.line.outline, Role("drifts"))
            sheet.tagged(TAG, half_way(one.line.outline), Role("drifts"), said)
            sheet.key(one.line.key, _within(one.line.outline))
        for point in () if one.drift else one.points:
            sheet.tagged(MARK, point, Role("plants"), said)
            sheet.key(one.line.key, point)
        if one.spread and one.there:
            for point in one.points:
                sheet.space.add_circle(point, one.spread / 2, {"layer": sheet.layer(Role("crowns"))})


def _figure(value: float | None) -> str | None:
    return None if value is None else f"{value:.4f}".rstrip("0").rstrip(".")


def _within(points: Sequence[Point]) -> Point:
    """A place inside an outline: the mean of its corners where that lies inside, else one that surely does."""
    middle = sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    if inside(middle, points) and min(dist(middle, point) for point in points) > CROSS:
        return middle
    from shapely import Polygon, make_valid

    point = make_valid(Polygon(points)).representative_point()
    return float(point.x), float(point.y)


def _extents(border: Border) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    points = [point for bed in border.plan.borders for point in bed.outline] or [(0.0, 0.0)]
    points += [point for planting in border.standing for point in planting.points]
    points += [point for structure in border.plan.structures for point in structure.points]
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), 0.0), (max(xs), max(ys), 0.0)
