"""Plain data and the places of its values, built from YAML events in one pass."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from bedfellow.schema.events import ALIAS, DOCUMENT, END, KINDS, MAPPING, SCALAR
from bedfellow.schema.place import Fault, Marks, Node, Path, Place, Span, marks_of
from bedfellow.schema.scalars import MOST_DIGITS, resolve

CORE = "tag:yaml.org,2002:"
_REPEATED: Any = object()  # where the value of a repeated key is kept until its mapping closes
_RESOLVED = {"int": int, "float": (int, float), "bool": bool, "null": type(None)}


@dataclass(frozen=True, slots=True)
class Bounds:
    """How much a file may hold: bytes, levels, nodes after aliases are expanded, characters of one number."""

    size: int = 4 * 1024 * 1024
    depth: int = 40
    nodes: int = 1_000_000
    digits: int = MOST_DIGITS


@dataclass(slots=True)
class Built:
    """What came of one pass; `whole` is False when it ended early, `too_much` True when a bound ended it."""

    data: Any = None
    place: Node = (0, 0, 0, 0)
    faults: list[Fault] = field(default_factory=list)
    empty: bool = True
    whole: bool = True
    too_much: bool = False


class _Open:
    """A mapping or sequence that is still being filled.

    name: the key whose value comes next, key: the one it is kept under; weight counts nodes, depth the levels.
    """

    __slots__ = ("anchor", "data", "depth", "key", "name", "path", "place", "weight")

    def __init__(self, data: Any, place: Place, path: Path, anchor: str | None) -> None:
        self.data = data
        self.place = place
        self.path = path
        self.anchor = anchor
        self.name: str | None = None
        self.key: Any = None
        self.weight = 1
        self.depth = 1


def build(events: Iterable[Any], bounds: Bounds) -> Built:
    """The first document of a stream. Bad input becomes faults; only the source's Mishap is raised."""
    built = Built()
    faults = built.faults
    stack: list[_Open] = []
    anchors: dict[str, tuple[Any, Node, int, int]] = {}
    total = 0
    documents = 0

    def refuse(path: Path, marks: Marks, message: str, too_much: bool = False) -> Built:
        faults.append(Fault("PLAN-01", path, Span.of(marks), message))
        built.whole = False
        built.too_much = too_much
        built.data = None
        return built

    for event in events:
        kind = KINDS.get(type(event).__name__)
        if kind is None:
            continue
        start, end = event.start_mark, event.end_mark
        marks = (start.line, start.column, end.line, end.column)
        top = stack[-1] if stack else None

        if kind == END:
            assert top is not None
            stack.pop()
            _close(top, marks)
            if top.anchor is not None:
                anchors[top.anchor] = (top.data, top.place, top.weight, top.depth)
            if stack:
                stack[-1].weight += top.weight
                stack[-1].depth = max(stack[-1].depth, top.depth + 1)
            continue
        if kind == DOCUMENT:
            documents += 1
            if documents > 1:
                message = "a second document begins here: a file holds one plan; the rest of the file was not read"
                faults.append(Fault("PLAN-01", (), Span.of(marks), message))
                built.whole = False
                return built
            continue

        # A key of a mapping: its text as written, whatever it would mean as a value.
        keys = top.place.keys if top is not None else None
        if top is not None and keys is not None and top.name is None:
            if kind != SCALAR:
                return refuse(top.path, marks, "a key must be a word; here stands a list, a mapping or an alias")
            if event.tag is not None:
                faults.append(Fault("PLAN-01", top.path, Span.of(marks), "a key takes no tag; write the word alone"))
            top.name = top.key = event.value
            if top.name in keys:
                _repeated(faults, top, keys[top.name], marks)
                top.key = _REPEATED
            keys[top.key] = marks
            continue

        total += 1
        opened: _Open | None = None
        place: Node = marks
        value: Any
        if kind == SCALAR:
            value = event.value
            tag = event.tag
            if event.implicit[0]:
                try:
                    value = resolve(value, bounds.digits)
                except OverflowError as error:
                    return refuse(_path(top), marks, f"{error} is more than any measure needs; at most {bounds.digits}")
                if value is None and marks[:2] == marks[2:] and (top is None or keys is not None):
                    place = (
                        (0, 0, 0, 0) if top is None or keys is None else keys[top.key]
                    )  # nothing written: point at the key
            elif tag is not None and tag != "!":
                value, complaint = _tagged(value, str(tag))
                if complaint:
                    faults.append(Fault("PLAN-01", _path(top), Span.of(marks), complaint))
            if event.anchor is not None:
                anchors[event.anchor] = (value, marks, 1, 0)
        elif kind == ALIAS:
            if any(level.anchor == event.anchor for level in stack):
                return refuse(
                    _path(top),
                    marks,
                    f"*{event.anchor} stands inside what &{event.anchor} names, which would never end",
                )
            if event.anchor not in anchors:
                return refuse(_path(top), marks, f"nothing above is named &{event.anchor}")
            value, named, weight, depth = anchors[event.anchor]
            total += weight - 1
            place = Place(marks, named.keys, named.children) if isinstance(named, Place) else marks
            if top is not None:
                top.weight += weight
                top.depth = max(top.depth, depth + 1)
            if len(stack) + depth > bounds.depth:
                return refuse(_path(top), marks, f"more than {bounds.depth} levels deep", too_much=True)
        else:
            is_mapping = kind == MAPPING
            value = {} if is_mapping else []
            place = Place(marks, {} if is_mapping else None, {} if is_mapping else [])
            tag = event.tag
            if tag is not None and tag not in ("!", CORE + ("map" if is_mapping else "seq")):
                faults.append(Fault("PLAN-01", _path(top), Span.of(marks), _unknown_tag(str(tag))))
            opened = _Open(value, place, _path(top), event.anchor)
            if len(stack) >= bounds.depth:
                return refuse(_path(top), marks, f"more than {bounds.depth} levels deep", too_much=True)

        if top is None:
            built.data, built.place, built.empty = value, place, value is None
        elif keys is None:
            top.data.append(value)
            top.place.children.append(place)  # type: ignore[union-attr]
        else:
            top.data[top.key] = value
            top.place.children[top.key] = place
            top.name = None
        if top is not None and kind == SCALAR:
            top.weight += 1
        if total > bounds.nodes:
            return refuse(
                _path(top), marks, f"more than {bounds.nodes} values, counting each alias in full", too_much=True
            )
        if opened is not None:
            stack.append(opened)
    return built


def _close(level: _Open, marks: Marks) -> None:
    """Set where a collection ends: after its bracket, or after its last value in block style."""
    place = level.place
    if marks[:2] != marks[2:]:
        end = marks[2:]
    elif place.children:
        last = marks_of(
            next(reversed(place.children.values())) if isinstance(place.children, dict) else place.children[-1]
        )
        end = last[2:]
    else:
        end = place.marks[2:]
    place.marks = (*place.marks[:2], *end)
    if _REPEATED in level.data and place.keys is not None:
        for part in (level.data, place.keys, place.children):
            del part[_REPEATED]


def _path(level: _Open | None) -> Path:
    """The path of the value that comes next."""
    if level is None:
        return ()
    return (*level.path, len(level.data) if level.place.keys is None else level.name or "")


def _repeated(faults: list[Fault], level: _Open, first: Marks, again: Marks) -> None:
    message = f"'{level.name}' stands twice in one mapping; the first is used"
    related = ((Span.of(first), f"'{level.name}' stands here first"),)
    faults.append(Fault("PLAN-01", _path(level), Span.of(again), message, related))


def _tagged(text: str, tag: str) -> tuple[Any, str]:
    """Value of a scalar with an explicit tag, and what is wrong with it."""
    kind = tag.removeprefix(CORE)
    if kind == "str" and tag != kind:
        return text, ""
    if kind in _RESOLVED and tag != kind:
        value = resolve(text)
        if isinstance(value, _RESOLVED[kind]) and (kind == "bool" or not isinstance(value, bool)):  # type: ignore[arg-type]
            return (float(value) if kind == "float" and value is not None else value), ""
        return text, f"'{text}' is marked !!{kind} and is none"
    return text, _unknown_tag(tag)


def _unknown_tag(tag: str) -> str:
    shown = "!!" + tag.removeprefix(CORE) if tag.startswith(CORE) else tag
    return f"the tag {shown} is not used in plans; take it out"
