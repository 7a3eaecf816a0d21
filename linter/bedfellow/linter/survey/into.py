"""The places of a drawing in a plan that is there already, by key; all else stays byte for byte."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

from bedfellow.linter.repair.edit import END, CannotEdit, Edit, edited
from bedfellow.linter.survey.drawn import BadDrawing
from bedfellow.linter.survey.entries import Planted
from bedfellow.linter.survey.wording import places
from bedfellow.rules.border.planting import members
from bedfellow.schema.geometry import Point
from bedfellow.schema.plan import Line, Plan

STILL = 0.001  # m: less is no move


class Moved(NamedTuple):
    """What became of a plan: its text, and the keys moved, added, unchanged, and those that the drawing has not.

    otherwise: what stands in the plan by an outline, as a hedge, a group or in a mix, and in the drawing at other places.
    """

    text: str
    moved: tuple[str, ...]
    added: tuple[str, ...]
    still: tuple[str, ...]
    absent: tuple[str, ...]
    otherwise: tuple[str, ...]


def moved_into(plan: Plan, lines: Sequence[Planted]) -> Moved:
    """The plan with the places of its lines as drawn, and with the lines that it has not.

    Raises BadDrawing where the text cannot be edited so.
    """
    here = {line.key: line for line in plan.lines}
    edits: list[Edit] = []
    moved, added, still, otherwise = [], [], [], []
    fresh = []
    for line in lines:
        there = here.get(line.key) if line.key else _namesake(plan, line.name)
        if there is None:
            fresh.append(line.entry)
            added.append(line.key or line.name)
        elif _same_outline(line.outline, there.outline) if line.outline else same_places(line.at, members(there)):
            still.append(there.key)
        elif (how := _how(there)) != ("by an outline" if line.outline else ""):
            otherwise.append(
                f"{there.key} stands {how or 'by places'} in the plan and otherwise in the drawing; it is left as it is."
            )
            still.append(there.key)
        else:
            word, now = ("outline", line.outline) if line.outline else ("at", line.at)
            edits.append(Edit((*there.path, word), places(now)))
            moved.append(there.key)
    document = plan.document
    edits += [Edit(("plants", END), entry) for entry in fresh]
    try:
        text = edited(document, edits) if edits else document.text
    except CannotEdit as why:
        raise BadDrawing(f"the plan cannot be changed in its text alone: {why}") from None
    absent = tuple(key for key in here if key not in {*moved, *still})
    return Moved(text, tuple(moved), tuple(added), tuple(still), absent, tuple(otherwise))


def _how(line: Line) -> str:
    """How its places follow from something else; nothing where they are stated."""
    if line.mix:
        return f"in the mix {line.mix}"
    return "as a hedge" if line.hedge else "as a group" if line.group else "by an outline" if line.outline else ""


def _namesake(plan: Plan, name: str) -> Line | None:
    """The only line of that plant; a drawing without keys says no more. Raises BadDrawing where there are several."""
    found = [line for line in plan.lines if line.name == name]
    if len(found) > 1:
        raise BadDrawing(f"the plan has {len(found)} lines of {name}, and the drawing gives no key that tells which")
    return found[0] if found else None


def _same_outline(now: Sequence[Point], was: Sequence[Point]) -> bool:
    return len(now) == len(was) and all(
        abs(a - b) <= STILL for p, q in zip(now, was, strict=True) for a, b in zip(p, q, strict=True)
    )


def same_places(now: Sequence[Point], was: Sequence[Point]) -> bool:
    """The same places in any order, to a millimetre."""
    if len(now) != len(was):
        return False
    free = Counter((round(x / STILL), round(y / STILL)) for x, y in was)
    for x, y in now:
        column, row = round(x / STILL), round(y / STILL)
        # The very place first, then its neighbours, into which it may have been rounded.
        near = sorted(product((-1, 0, 1), repeat=2), key=lambda step: abs(step[0]) + abs(step[1]))
        cell = next(((column + dx, row + dy) for dx, dy in near if free[column + dx, row + dy]), None)
        if cell is None:
            return False
        free[cell] -= 1
    return True
