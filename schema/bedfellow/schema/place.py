"""Where a value stands in its file.

Document            reader.py
  └ Place           one mapping or sequence: its marks, its keys' marks, its children
      └ Marks       a scalar: four numbers from 0, as the parsers give them
Span                what the rest of the program sees: lines and columns from 1
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

Path = tuple[str | int, ...]
Marks = tuple[int, int, int, int]


class Span(NamedTuple):
    """Lines and columns from 1, columns in Unicode code points, the end exclusive."""

    start_line: int
    start_column: int
    end_line: int
    end_column: int

    @classmethod
    def of(cls, marks: Marks) -> Span:
        """The span of a parser's marks, which count from 0."""
        line, column, end_line, end_column = marks
        return cls(line + 1, column + 1, end_line + 1, end_column + 1)


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a file, as a value: code, the path and span at fault, a sentence, other places that matter."""

    code: str
    path: Path
    span: Span | None
    message: str
    related: tuple[tuple[Span, str], ...] = ()


class Place:
    """Marks of a mapping or sequence, of its keys (mappings only) and of its children."""

    __slots__ = ("children", "keys", "marks")

    def __init__(self, marks: Marks, keys: dict[str, Marks] | None, children: dict[str, Node] | list[Node]) -> None:
        self.marks = marks
        self.keys = keys
        self.children = children

    def child(self, step: str | int) -> Node | None:
        """The place of an entry or item; None if there is none."""
        if isinstance(self.children, dict):
            return self.children.get(step) if isinstance(step, str) else None
        return self.children[step] if isinstance(step, int) and 0 <= step < len(self.children) else None


Node = Place | Marks


def marks_of(node: Node) -> Marks:
    """Marks of a scalar, mapping or sequence."""
    return node.marks if isinstance(node, Place) else node
