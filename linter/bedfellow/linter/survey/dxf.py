"""A drawing in DXF (ASCII or binary) read into marks, shapes and labels; ezdxf does the reading.

Blocks are opened until something in them is a plant; what lies on layer 0 in a block lies on the layer of its insert. Curves
become straight pieces that keep within a centimetre.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import isfinite
from pathlib import Path
from typing import Any

from bedfellow.linter.survey.drawn import BadDrawing, Drawing, Label, Mark, Ring, Shape
from bedfellow.linter.survey.dxf_file import opened, unit_of
from bedfellow.linter.survey.layers import Role, role_of
from bedfellow.schema.geometry import Point

DEEPEST, MOST = 8, 1_000_000  # blocks in blocks, things in a drawing
SAGITTA = 0.01  # m between a curve and its straight pieces
CLOSED = 1e-6  # of the unit: ends as near are one corner
MARK, TAG, PLACE = "PLANT", "TAG", "PLACE"
ORIGIN = "BEDFELLOW-ORIGIN"
ALIASES = {"key": "KEY", "code": "KEY", "name": "NAME", "plant": "NAME", "species": "NAME", "botanical": "NAME", "quantity": "QUANTITY", "number": "QUANTITY"}  # fmt: skip
WHY_LAYER = "no word of the layer's name says what it holds"
OF_PLACES = ("plants", "retained", "services", "structures", "surfaces")
LINES = ("LINE", "LWPOLYLINE", "POLYLINE", "ARC", "SPLINE", "ELLIPSE")


@dataclass(slots=True)
class _Reader:
    """What reading goes by. roles: layer → what it holds, filled as layers come; done: things looked at."""

    drawing: Drawing
    document: Any
    path: Path
    asked: Mapping[str, Role]
    is_plant: Callable[[str], bool]
    hidden: frozenset[str]
    roles: dict[str, Role | None] = field(default_factory=dict)
    done: int = 0


def read(
    path: Path, asked: Mapping[str, Role], unit: str | None, is_plant: Callable[[str], bool], tell: Callable[[int], None] = lambda done: None,
) -> Drawing:  # fmt: skip
    """The drawing in a file. asked: layer (in small letters) → what it is said to hold; is_plant: a plant has that name.

    Raises BadDrawing.
    """
    document = opened(path)
    word, metres, told = unit_of(document, path, unit)
    hidden = frozenset(layer.dxf.name.casefold() for layer in document.layers if layer.is_off() or layer.is_frozen())
    reader = _Reader(Drawing(word, metres, told), document, path, asked, is_plant, hidden)
    for entity in document.modelspace():
        try:
            _take(reader, entity, "", 0)
        except BadDrawing:
            raise
        except Exception as error:  # what a broken thing breaks in the library is its own
            raise BadDrawing(f"{path}: {_name(entity)} cannot be read: {error}") from None
        tell(reader.done)
    known = {_decoded(layer.dxf.name) for layer in document.layers} | {_decoded(layer) for layer in reader.roles}
    if missing := sorted(asked.keys() - {name.casefold() for name in known}):
        raise BadDrawing(f"{path} has no layer {missing[0]}; its layers are {', '.join(sorted(known))}")
    for layout in document.layouts:
        if not layout.is_modelspace and len(layout):
            reader.drawing.left["", "in the layout " + layout.name, "only the model is read"] += len(layout)
    return reader.drawing


# ---- one thing after the other


def _take(reader: _Reader, entity: Any, parent: str, depth: int) -> None:
    reader.done += 1
    if reader.done > MOST:
        raise BadDrawing(
            f"{reader.path} holds more than {MOST:,} things, those in its blocks counted; save the layers that matter alone"
        )
    kind, layer = entity.dxftype(), entity.dxf.get("layer", "0")
    layer = parent if layer == "0" and parent else layer
    if layer.casefold() in reader.hidden:
        reader.drawing.left[layer, kind, "the layer is off or frozen"] += 1
        return
    role = _role(reader, layer)
    if kind == "INSERT":
        _insert(reader, entity, layer, role, depth)
    elif kind in ("TEXT", "MTEXT"):
        _label(reader, entity, kind, layer, role)
    elif role is None:
        reader.drawing.left[layer, kind, WHY_LAYER] += 1
    elif role.group == "nothing":
        reader.drawing.left[layer, kind, "as asked"] += 1
    elif role.group in ("roots", "keys"):
        reader.drawing.left[layer, kind, "follows from the rest"] += 1
    elif kind == "CIRCLE":
        _circle(reader, entity, layer, role)
    elif kind == "POINT":
        _mark(reader, entity, role, layer, _xy(reader, entity, layer, entity.dxf.location))
    elif kind in LINES:
        _line(reader, entity, kind, layer, role)
    else:
        reader.drawing.left[layer, kind, "this type is not read"] += 1


def _role(reader: _Reader, layer: str) -> Role | None:
    if layer not in reader.roles:
        name = _decoded(layer)
        role = reader.asked.get(name.casefold()) or role_of(name)
        if (role is None or role == Role("plants")) and reader.is_plant(name):
            role = Role("plants", name)
        reader.roles[layer] = role
    return reader.roles[layer]


def _insert(reader: _Reader, entity: Any, layer: str, role: Role | None, depth: int) -> None:
    if entity.mcount > 1:
        for one in entity.multi_insert():
            _take(reader, one, layer, depth)
        return
    name = entity.dxf.name
    place = _xy(reader, entity, layer, entity.dxf.insert, ocs=True)
    if name == ORIGIN:
        reader.drawing.origin = place
        return
    texts = {ALIASES.get(a.dxf.tag.casefold(), a.dxf.tag.upper()): _decoded(a.dxf.text) for a in entity.attribs}
    said = {tag: text for tag, text in texts.items() if text}
    block = reader.document.blocks.get(name)
    if name == TAG and role is not None and role.group not in ("plants", "nothing"):
        reader.drawing.labels.append(Label(role, layer, place, said.get("KEY", ""), said))
    elif role is not None and role.group == "nothing":
        reader.drawing.left[layer, "INSERT", "as asked"] += 1
    elif said.keys() & {"KEY", "NAME"} or (name == PLACE and role is not None):
        holds = role if role and role.group in OF_PLACES else Role("plants")
        _mark(reader, entity, holds, layer, place, _radius(reader, block, entity), "", said)
    elif block is None:
        reader.drawing.left[layer, "INSERT", f"there is no block '{name}'"] += 1
    elif role is not None and role.group in ("plants", "retained") and not any(e.dxftype() == "INSERT" for e in block):
        _mark(reader, entity, role, layer, place, _radius(reader, block, entity), _decoded(name), said)
    elif depth >= DEEPEST:
        reader.drawing.left[layer, "INSERT", f"blocks in blocks are opened {DEEPEST} deep"] += 1
    else:
        for part in entity.virtual_entities():
            _take(reader, part, layer, depth + 1)


def _radius(reader: _Reader, block: Any, entity: Any) -> float | None:
    """Of the largest circle about the middle of a block, as it is inserted."""
    scale = abs(entity.dxf.get("xscale", 1.0))
    circles = [e.dxf.radius * scale for e in block or () if e.dxftype() == "CIRCLE"]
    return max(circles, default=None)


def _circle(reader: _Reader, entity: Any, layer: str, role: Role) -> None:
    radius = entity.dxf.radius
    place = _xy(reader, entity, layer, entity.dxf.center, ocs=True)
    if not isfinite(radius):
        raise BadDrawing(_at(reader, entity, layer, "its radius is no number"))
    if radius <= 0:
        reader.drawing.left[layer, "CIRCLE", "it has no radius"] += 1
    elif role.group == "crowns":
        reader.drawing.rings.append(Ring(layer, place, radius))
        reader.drawing.taken[layer, str(role)] += 1
    elif role.group in ("plants", "drifts", "retained"):
        _mark(reader, entity, role, layer, place, radius)
    elif role.group == "services" or role.kind in ("post", "obelisk"):
        _mark(reader, entity, role, layer, place)
    else:
        _line(reader, entity, "CIRCLE", layer, role)


def _mark(
    reader: _Reader, entity: Any, role: Role, layer: str, at: Point, radius: float | None = None, word: str = "",
    said: Mapping[str, str] | None = None,
) -> None:  # fmt: skip
    if role.group in ("beds", "boundaries", "crowns"):
        reader.drawing.left[layer, entity.dxftype(), f"a place alone makes none of {role}"] += 1
        return
    reader.drawing.marks.append(Mark(role, layer, at, _name(entity), radius, word, said or {}))
    reader.drawing.taken[layer, str(role)] += 1


def _label(reader: _Reader, entity: Any, kind: str, layer: str, role: Role | None) -> None:
    text = _decoded(entity.plain_text())
    if role is not None and role.group == "nothing":
        reader.drawing.left[layer, kind, "as asked"] += 1
    elif text:
        place = _xy(reader, entity, layer, _where_it_stands(entity, kind), ocs=kind == "TEXT")
        reader.drawing.labels.append(Label(role, layer, place, " ".join(text.split())))


def _decoded(text: str) -> str:
    """A text with the letters that releases before 2007 write as \\U+ and their number."""
    from ezdxf.lldxf.encoding import decode_dxf_unicode

    return decode_dxf_unicode(text).strip()


def _where_it_stands(entity: Any, kind: str) -> Any:
    """A text that is not set from the left has its place in the second point."""
    second = entity.dxf.get("align_point") if kind == "TEXT" else None
    aligned = second is not None and (entity.dxf.get("halign", 0) or entity.dxf.get("valign", 0))
    return second if aligned else entity.dxf.insert


def _line(reader: _Reader, entity: Any, kind: str, layer: str, role: Role) -> None:
    from ezdxf import path as paths

    if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
        reader.drawing.left[layer, kind, "a mesh is not read"] += 1
        return
    try:
        path = paths.make_path(entity)
        points = [
            (float(p.x), float(p.y))
            for p in path.flattening(SAGITTA / reader.drawing.metres, segments=1 if kind == "LWPOLYLINE" else 4)
        ]
    except (TypeError, ValueError, ArithmeticError) as error:
        raise BadDrawing(_at(reader, entity, layer, f"it cannot be followed: {error}")) from None
    if not all(isfinite(value) for point in points for value in point):
        raise BadDrawing(_at(reader, entity, layer, "a coordinate is no number"))
    corners = [point for n, point in enumerate(points) if n == 0 or point != points[n - 1]]
    closed = len(corners) > 2 and all(abs(a - b) <= CLOSED for a, b in zip(corners[0], corners[-1], strict=True))
    corners = corners[:-1] if closed else corners
    if len(corners) < (3 if closed else 2):
        reader.drawing.left[layer, kind, "it has no length"] += 1
        return
    if path.has_curves:
        reader.drawing.nearly["bulge" if kind.endswith("POLYLINE") else kind] += 1
    if not closed and role.group in ("beds", "plants", "drifts", "crowns", "retained"):
        reader.drawing.left[layer, kind, f"it is not closed, as {role.group} are"] += 1
    elif closed and role.group in ("crowns", "retained"):
        reader.drawing.left[layer, kind, "a crown is read from a circle"] += 1
    elif role.group in ("structures", "surfaces", "services") and not role.kind:
        reader.drawing.left[layer, kind, f"which kind? say --layer {layer}=…"] += 1
    else:
        reader.drawing.shapes.append(Shape(role, layer, tuple(corners), closed, _name(entity)))
        reader.drawing.taken[layer, str(role)] += 1


# ---- places and names


def _xy(reader: _Reader, entity: Any, layer: str, vector: Any, ocs: bool = False) -> Point:
    if ocs:
        vector = entity.ocs().to_wcs(vector)
    x, y = float(vector[0]), float(vector[1])
    if not (isfinite(x) and isfinite(y)):
        raise BadDrawing(_at(reader, entity, layer, "a coordinate is no number"))
    return x, y


def _name(entity: Any) -> str:
    kind, handle = str(entity.dxftype()), entity.dxf.handle
    return f"{kind} {handle}" if handle else kind


def _at(reader: _Reader, entity: Any, layer: str, what: str) -> str:
    return f"{reader.path}: {_name(entity)} on layer {layer}: {what}"
