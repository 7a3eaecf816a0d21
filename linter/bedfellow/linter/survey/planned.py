"""Where a plan lies in a drawing, and the text of a new plan that comes of one."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin
from typing import Any

from bedfellow.linter.repair.edit import written
from bedfellow.linter.survey.drawn import BadDrawing, Drawing, Frame
from bedfellow.linter.survey.entries import Entries
from bedfellow.linter.survey.wording import clean
from bedfellow.schema.geometry import Point
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import read_text
from bedfellow.schema.units import LARGEST, is_number

LISTS = ("structures", "surfaces", "boundaries", "services", "retained")
STILL = 0.0005  # m: less is no move


def frame_of(drawing: Drawing, front: tuple[Point, Point] | None = None) -> Frame:
    """Where the plan lies in a drawing.

    Its origin is where the drawing marks it, else the front left corner of its beds, else of all that was read; front: the
    left and right end of the front edge, in the drawing's unit, else it runs along x. Raises BadDrawing.
    """
    turn = 0.0
    if front is not None:
        (x0, y0), (x1, y1) = front
        turn = radians(round(degrees(atan2(y1 - y0, x1 - x0)), 3))
    if drawing.origin is not None and front is None:
        x, y = drawing.origin
        return Frame(drawing.metres, (x * drawing.metres, y * drawing.metres))
    turned = Frame(drawing.metres, (0.0, 0.0), turn)
    beds = [point for shape in drawing.shapes if shape.role.group == "beds" for point in shape.points]
    points = beds or [point for shape in drawing.shapes for point in shape.points] + [mark.at for mark in drawing.marks]
    if not points:
        return turned
    xs, ys = zip(*map(turned.to_plan, points), strict=True)
    left, low = min(xs), min(ys)
    if max(xs) - left > LARGEST or max(ys) - low > LARGEST:
        raise BadDrawing(
            f"what is drawn is {max(xs) - left:.3g} × {max(ys) - low:.3g} m, which no garden is: is the unit right?"
        )
    corner = (round(left * cos(turn) - low * sin(turn), 3), round(left * sin(turn) + low * cos(turn), 3))
    return Frame(drawing.metres, corner, turn)


def said_frame(plan: Plan) -> Frame | None:
    """Where a plan that was made of a drawing says that it lies in it (x-origin); None where it does not."""
    said = plan.extra.get("x-origin")
    if not isinstance(said, dict):
        return None
    at, turn = said.get("at"), said.get("turn", 0)
    if not (isinstance(at, list) and len(at) == 2 and all(map(is_number, at)) and is_number(turn)):
        return None
    return Frame(1.0, (float(at[0]), float(at[1])), radians(turn))


def frame_in(plan: Plan, drawing: Drawing, front: tuple[Point, Point] | None) -> Frame:
    """Where a plan that is there already lies in a drawing.

    As the drawing marks it, else as the plan says (x-origin), else with the front left corners of both their beds one on the
    other. Raises BadDrawing where nothing tells.
    """
    said = said_frame(plan)
    if front is None and drawing.origin is not None:
        return frame_of(drawing)
    if front is None and said is not None:
        return said._replace(metres=drawing.metres)
    here = [point for bed in plan.borders for point in bed.outline]
    if not here or not any(shape.role.group == "beds" for shape in drawing.shapes):
        raise BadDrawing(
            "nothing tells where the plan lies in the drawing: it needs the outline of the bed in both, or x-origin in the plan"
        )
    frame = frame_of(drawing, front)
    corner = Frame(1.0, (0.0, 0.0), frame.turn).to_drawing((min(x for x, _ in here), min(y for _, y in here)))
    return frame._replace(origin=(frame.origin[0] - corner[0], frame.origin[1] - corner[1]))


def new_plan(title: str, found: Entries, frame: Frame, drawing: Drawing) -> str:
    """The text of a plan with what was found."""
    data: dict[str, Any] = {"format": 1, "title": clean(title) or "As drawn"}
    if frame.origin != (0.0, 0.0) or frame.turn:
        turn = {"turn": round(degrees(frame.turn), 3)} if frame.turn else {}
        data["x-origin"] = {"at": [round(value, 3) for value in frame.origin], **turn, "unit": drawing.unit}
    data["site"] = {}
    beds = found.lists.get("borders", [])
    data |= {"border": beds[0]} if len(beds) == 1 else {"borders": beds} if beds else {}
    data |= {name: found.lists[name] for name in LISTS if name in found.lists}
    data["plants"] = [line.entry for line in found.lines]
    for quoted in (False, True):
        text = "".join(_section(name, value, quoted) for name, value in data.items())
        document = read_text(text, "")
        if document.data == data:
            return text
    why = "; ".join(fault.message for fault in document.faults) or "a text in it cannot be written so"
    raise BadDrawing(f"what was read makes no plan: {why}")


def _section(name: str, value: Any, quoted: bool) -> str:
    if isinstance(value, list) and value:
        return f"{name}:\n" + "".join(f"- {written(entry, quoted)}\n" for entry in value)
    return f"{name}: {written(value, quoted)}\n"
