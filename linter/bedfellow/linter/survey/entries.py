"""From a drawing in the plan's frame to the entries of a plan, and what is to be said of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from math import dist, floor
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.linter.survey.built import WHY_NOTHING, lists_of
from bedfellow.linter.survey.drawn import Drawing, Label, Mark, Ring, Shape
from bedfellow.linter.survey.matching import labelled
from bedfellow.linter.survey.wording import LONGEST_KEY, LONGEST_NAME, clean, corners, places
from bedfellow.schema.geometry import Point

if TYPE_CHECKING:
    from bedfellow.traits_db.snapshot import Store

SAME = 0.01  # m: a ring about a place is drawn as near to it


class Planted(NamedTuple):
    """A line of plants as drawn: its key or none, its name as written, places or an outline, and the smallest spread drawn."""

    key: str
    name: str
    at: tuple[Point, ...]
    outline: tuple[Point, ...]
    quantity: int | None
    drawn: float | None

    @property
    def entry(self) -> dict[str, Any]:
        """The line as the plan has it."""
        found: dict[str, Any] = {"key": self.key} if self.key else {}
        found["name"] = self.name
        if self.outline:
            found["outline"] = corners(self.outline)
        else:
            found["at"] = places(self.at)
        if self.quantity is not None:
            found["quantity"] = self.quantity
        if self.drawn is not None:
            found["x-drawn_spread"] = round(self.drawn, 3)
        return found


class Entries(NamedTuple):
    """lines of plants; the plan's other lists by name; notes: what is to be said; unknown: names that no plant has."""

    lines: tuple[Planted, ...]
    lists: Mapping[str, list[dict[str, Any]]]
    notes: tuple[str, ...]
    unknown: tuple[str, ...]


def entries(drawing: Drawing, store: Store) -> Entries:
    """The entries of a plan, of a drawing in its frame (`Frame.placed`); what belongs to none is counted in `drawing.left`."""
    marks, shapes, over = labelled(drawing)
    marks = _with_rings(drawing, marks)
    notes: list[str] = []
    known = _known(store, marks, shapes)
    lines = _lines(drawing, marks, shapes, known, notes)
    lists = lists_of(drawing, marks, shapes, notes)
    said = (
        {line.key for line in lines}
        | {line.name for line in lines}
        | {e.get("key", "") for some in lists.values() for e in some}
    )
    for label in over:
        why = (
            "it repeats a key or name that was read"
            if clean(label.text) in said - {""}
            else "it belongs to nothing that was read"
        )
        drawing.left[label.layer, "TEXT", why] += 1
    unknown = tuple(dict.fromkeys(line.name for line in lines if line.name not in known))
    return Entries(tuple(lines), lists, tuple(notes), unknown)


# ---- plants


def _known(store: Store, marks: Iterable[tuple[Mark, str]], shapes: Iterable[tuple[Shape, Label | None]]) -> set[str]:
    """The words of a drawing that are names of plants."""
    words = {
        word
        for mark, text in marks
        for word in (clean(text), clean(mark.word), *map(clean, mark.said.values()), mark.role.kind)
    }
    for shape, label in shapes:
        words |= {shape.role.kind, *(map(clean, (label.text, *label.said.values())) if label else ())}
    found = store.find(sorted(words - {""}))
    return {word for word, traits in found.items() if traits is not None}


def _lines(
    drawing: Drawing, marks: Iterable[tuple[Mark, str]], shapes: Iterable[tuple[Shape, Label | None]], known: set[str], notes: list[str],
) -> list[Planted]:  # fmt: skip
    groups: dict[tuple[str, str], list[Mark]] = {}
    found: list[tuple[str, str, list[Mark], Shape | None, int | None]] = []
    for mark, text in marks:
        if mark.role.group not in ("plants", "drifts"):
            continue
        key, name = _identity(mark.said, mark.word or text, mark.role.kind, known)
        if not name:
            drawing.left[mark.layer, mark.where.split()[0], WHY_NOTHING] += 1
            continue
        if (key, name) not in groups:
            found.append((key, name, groups.setdefault((key, name), []), None, None))
        groups[key, name].append(mark)
    for shape, label in shapes:
        if shape.role.group not in ("plants", "drifts"):
            continue
        key, name = _identity(label.said if label else {}, label.text if label else "", shape.role.kind, known)
        if not name:
            drawing.left[shape.layer, shape.where.split()[0], WHY_NOTHING] += 1
            continue
        found.append((key, name, [], shape, _whole(label.said.get("QUANTITY", "")) if label else None))
    taken: Counter[str] = Counter()
    lines = []
    for key, name, some, ground, number in found:
        once = _once(key, taken, notes, name)
        drawn = min((2 * mark.radius for mark in some if mark.radius), default=None)
        quantity = number if ground else _quantity(key or name, some, notes)
        lines.append(Planted(once, name, tuple(m.at for m in some), ground.points if ground else (), quantity, drawn))
    return lines


def _identity(said: Mapping[str, str], word: str, layer: str, known: set[str]) -> tuple[str, str]:
    """(key or "", name or "") of what the attributes, a text or block, and the layer say."""
    key, name, word = clean(said.get("KEY", "")), clean(said.get("NAME", "")), clean(word)
    if not key and word not in known:
        key = word
    name = name or layer or (word if word in known else key if key in known else "") or key or word
    key = "" if key == name and key in known else key
    return key if len(key) <= LONGEST_KEY else "", name[:LONGEST_NAME]


def _once(key: str, taken: Counter[str], notes: list[str], name: str) -> str:
    """The key, or one with a number behind it where another line has it."""
    if not key:
        return ""
    taken[key] += 1
    if taken[key] == 1:
        return key
    while taken[another := f"{key[: LONGEST_KEY - 5]}-{taken[key]}"]:
        taken[key] += 1
    taken[another] = 1
    notes.append(f"{key} stands for more than one line; {name} became {another}.")
    return another


def _quantity(what: str, marks: list[Mark], notes: list[str]) -> int | None:
    """The number of plants where it is stated and is not that of the places."""
    stated = {number for mark in marks if (number := _whole(mark.said.get("QUANTITY", ""))) is not None}
    if not stated or stated == {len(marks)}:
        return None
    if len(stated) == 1 or len(marks) == 1:
        return stated.pop()
    notes.append(
        f"{what}: its places state different quantities ({', '.join(map(str, sorted(stated)))}); none was taken."
    )
    return None


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and 0 < int(text[:7]) <= 100_000 else None


def _with_rings(drawing: Drawing, marks: list[tuple[Mark, str]]) -> list[tuple[Mark, str]]:
    """Marks with the radius of the crown that is drawn about each on another layer; other crowns are counted as left out."""
    by_cell: dict[tuple[int, int], list[Ring]] = {}
    for ring in drawing.rings:
        by_cell.setdefault((floor(ring.at[0]), floor(ring.at[1])), []).append(ring)
    used: set[Ring] = set()

    def about(at: Point) -> float | None:
        x, y = floor(at[0]), floor(at[1])
        near = [
            ring
            for dx in (-1, 0, 1)
            for dy in (-1, 0, 1)
            for ring in by_cell.get((x + dx, y + dy), ())
            if dist(ring.at, at) <= SAME
        ]
        used.update(near)
        return max((ring.radius for ring in near), default=None)

    found = (
        [(mark if mark.radius else mark._replace(radius=about(mark.at)), text) for mark, text in marks]
        if by_cell
        else marks
    )
    for ring in drawing.rings:
        if ring not in used:
            drawing.left[ring.layer, "CIRCLE", "no single plant stands in its middle"] += 1
    return found
