"""A drawing as a new plan, or its positions in a plan that is there already; text in either case."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, degrees, radians, sin
from typing import Any, NamedTuple

from bedfellow.linter.repair.edit import CannotEdit, Edit, edited, written
from bedfellow.linter.survey.drawn import BadDrawing, Drawing, Frame
from bedfellow.linter.survey.entries import Entries, Planted
from bedfellow.linter.survey.wording import clean, places
from bedfellow.schema.geometry import Point
from bedfellow.schema.plan import Line, Plan
from bedfellow.schema.reader import Document, read_text
from bedfellow.schema.units import LARGEST, is_number

LISTS = ("structures", "surfaces", "boundaries", "services", "retained")
STILL = 0.0005  # m: less is no move


class Moved(NamedTuple):
    """What became of a plan: its text, keys moved, added, unchanged, and those that the drawing has not."""

    text: str
    moved: tuple[str, ...]
    added: tuple[str, ...]
    still: tuple[str, ...]
    absent: tuple[str, ...]


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


def moved_into(plan: Plan, document: Document, lines: Sequence[Planted]) -> Moved:
    """The plan with the places of its lines as drawn, by key, and with the lines that it has not; all else byte for byte.

    Raises BadDrawing where the text cannot be edited so.
    """
    here = {line.key: line for line in plan.lines if not line.mix}
    edits, moved, added, still = [], [], [], []
    fresh: list[dict[str, Any]] = []
    for line in lines:
        there = here.get(line.key) if line.key else _namesake(plan, line.name)
        if there is None:
            fresh.append(line.entry)
            added.append(line.key or line.name)
            continue
        word, now, was = ("outline", line.outline, there.outline) if line.outline else ("at", line.at, there.at)
        if (there.outline and not line.outline) or (line.outline and not there.outline) or there.group or there.hedge:
            how = (
                "by an outline"
                if there.outline
                else "as a hedge"
                if there.hedge
                else "as a group"
                if there.group
                else "by places"
            )
            raise BadDrawing(
                f"{line.key} stands {how} in the plan, and the drawing has it otherwise; change its line first, or give the drawn one another key"
            )
        if _same(now, was) or (not line.outline and _same(sorted(now), sorted(was))):
            still.append(there.key)
            continue
        edits.append(Edit((*there.path, word), places(now)))
        moved.append(there.key)
    first = len(document.data.get("plants") or ())
    # Items that are added in one place come in the order of their text.
    fresh.sort(key=lambda entry: written(entry, False))
    edits += [Edit(("plants", first + number), entry) for number, entry in enumerate(fresh)]
    try:
        text = edited(document, edits) if edits else document.text
    except CannotEdit as why:
        raise BadDrawing(f"the plan cannot be changed in its text alone: {why}") from None
    seen = {*moved, *still}
    return Moved(text, tuple(moved), tuple(added), tuple(still), tuple(key for key in here if key not in seen))


def _namesake(plan: Plan, name: str) -> Line | None:
    """The only line of that plant; a drawing without keys says no more. Raises BadDrawing where there are several."""
    found = [line for line in plan.lines if line.name == name and not line.mix]
    if len(found) > 1:
        raise BadDrawing(f"the plan has {len(found)} lines of {name}, and the drawing gives no key that tells which")
    return found[0] if found else None


def _same(now: Sequence[Point], was: Sequence[Point]) -> bool:
    return len(now) == len(was) and all(
        abs(a - b) < STILL for p, q in zip(now, was, strict=True) for a, b in zip(p, q, strict=True)
    )
