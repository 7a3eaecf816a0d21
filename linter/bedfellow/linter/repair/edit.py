"""Minimal edits of a plan's text: a value set, a key added to a mapping, an item added to a list; all else byte for byte.

Every edit is held to its word: the text is read again, and its data must be the former data with these values and no other.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from bedfellow.linter.offer import Replacement
from bedfellow.schema.encoding import BREAK
from bedfellow.schema.place import Path, Span
from bedfellow.schema.reader import Document, read_text

END = -1  # in place of a number, for an item that a list lacks
# Text that needs no quotes: it begins with a letter and has no sign of YAML's, or is a date or a length.
PLAIN = r"[^\W\d_][^\n:#,\[\]{}&*!|>%@`\"]*[^\s:#,\[\]{}]|\d{4}-\d\d|\d\d-\d\d|\d+ c?m"


class Edit(NamedTuple):
    """The value at a path becomes another; a path that ends in END adds an item to a list."""

    path: Path
    value: Any


class CannotEdit(ValueError):
    """Why an edit cannot be made in the text without more changing than it says."""


def edited(document: Document, edits: Sequence[Edit]) -> str:
    """The text with all edits made. Raises CannotEdit."""
    return changed(document, edits).text


def changed(document: Document, edits: Sequence[Edit]) -> Document:
    """The document with all edits made. Raises CannotEdit."""
    return _made(document, edits)[1]


def replacements(document: Document, edits: Sequence[Edit]) -> tuple[Replacement, ...]:
    """What the edits do to the text, in its order. Raises CannotEdit."""
    return _made(document, edits)[0]


def _made(document: Document, edits: Sequence[Edit]) -> tuple[tuple[Replacement, ...], Document]:
    wanted = _copied(document.data)
    for edit in edits:
        _set(wanted, edit)
    # At one place what lies deeper comes first, a key of an item before the item after it; items of one list in their order.
    deepest = sorted(edits, key=lambda edit: -len(edit.path))
    for quoted in (False, True):
        found = [_replacement(document, edit, quoted) for edit in deepest]
        changes = tuple(sorted(found, key=lambda change: change.span))
        if any(_end(a) > _start(b) for a, b in pairwise(changes)):
            raise CannotEdit("two edits meet in the text")
        after = read_text(_applied(document, changes), document.name)
        if after.data == wanted:
            return changes, after
    raise CannotEdit("more than this would change: an anchor, or a form of writing that cannot be edited in place")


def _copied(data: Any) -> Any:
    """The data with nothing shared in it, as an anchor and its aliases are."""
    if isinstance(data, dict):
        return {key: _copied(value) for key, value in data.items()}
    return [_copied(value) for value in data] if isinstance(data, list) else data


def _set(data: Any, edit: Edit) -> None:
    *above, last = edit.path
    try:
        for step in above:
            data = data[step]
        if isinstance(data, list) and last == END:
            data.append(edit.value)
        else:
            data[last] = edit.value
    except (KeyError, IndexError, TypeError):
        raise CannotEdit("the plan has no such place") from None


def _exists(data: Any, path: Path) -> bool:
    if path[-1] == END:
        return False
    try:
        for step in path:
            data = data[step]
    except (KeyError, IndexError, TypeError):
        return False
    return True


def _replacement(document: Document, edit: Edit, quoted: bool) -> Replacement:
    if _exists(document.data, edit.path):
        span = document.span(edit.path)
        return Replacement(span, written(edit.value, quoted))
    *above, last = edit.path
    holder = tuple(above)
    if isinstance(last, int):
        return _item(document, holder, edit.value, quoted)
    return _key(document, holder, str(last), edit.value, quoted)


def _key(document: Document, holder: Path, key: str, value: Any, quoted: bool) -> Replacement:
    """A key that a mapping lacks: before the brace of a flow mapping, or on a line of its own after the first key."""
    data, span = document.data, document.span(holder)
    for step in holder:
        data = data[step]
    said = f"{key}: {written(value, quoted)}"
    line = document.line(span.start_line)
    if line[span.start_column - 1 : span.start_column] == "{":
        end = span.end_line, span.end_column - 1
        before = document.line(end[0])[: end[1] - 1]
        column = len(before.rstrip()) + 1 if before.strip() else end[1]
        return Replacement(Span(end[0], column, end[0], column), f", {said}" if data else said)
    first = next(iter(data), None)
    if first is None:
        raise CannotEdit("the mapping is empty")
    named = document.key_span((*holder, first))
    told = document.span((*holder, first))
    if told.end_line != named.start_line:
        raise CannotEdit("the first value takes more than a line")
    column = len(document.line(named.start_line)) + 1
    return Replacement(
        Span(named.start_line, column, named.start_line, column),
        f"{_break(document)}{' ' * (named.start_column - 1)}{said}",
    )


def _item(document: Document, holder: Path, value: Any, quoted: bool) -> Replacement:
    """An item at the end of a list: of a block list in the flow style, on a line of its own."""
    items = document.data
    for step in holder:
        items = items[step]
    if not items:
        raise CannotEdit("the list is empty")
    last, whole = document.span((*holder, len(items) - 1)), document.span(holder)
    if document.line(whole.start_line)[whole.start_column - 1 : whole.start_column] == "[":
        return Replacement(
            Span(last.end_line, last.end_column, last.end_line, last.end_column), f", {written(value, quoted)}"
        )
    first = document.line(last.start_line)
    dash = first[: last.start_column - 1].rstrip()
    if not dash.endswith("-") or dash.strip() != "-":
        raise CannotEdit("the list is not written an item a line")
    # A block's span ends where the next thing begins: go back over what is empty.
    line = last.end_line
    while (
        line > last.start_line
        and not document.line(line)[: last.end_column - 1 if line == last.end_line else None].strip()
    ):
        line -= 1
    column = len(document.line(line)) + 1
    return Replacement(
        Span(line, column, line, column), f"{_break(document)}{' ' * (len(dash) - 1)}- {written(value, quoted)}"
    )


def written(value: Any, quoted: bool) -> str:
    """A value in YAML's flow style, numbers to the third place. quoted: every text is put in quotes."""
    match value:
        case int():
            return str(value)
        case float():
            return f"{value + 0.0:.3f}".rstrip("0").rstrip(".")
        case list() | tuple():
            return f"[{', '.join(written(item, quoted) for item in value)}]"
        case dict():
            return "{" + ", ".join(f"{key}: {written(item, quoted)}" for key, item in value.items()) + "}"
        case _:
            text = str(value)
            plain = not quoted and re.fullmatch(PLAIN, text)
            return text if plain else json.dumps(text, ensure_ascii=False)


def _applied(document: Document, changes: Sequence[Replacement]) -> str:
    starts = [0, *(found.end() for found in BREAK.finditer(document.text))]
    text = document.text
    for span, new in reversed(changes):
        first, last = (
            starts[span.start_line - 1] + span.start_column - 1,
            starts[span.end_line - 1] + span.end_column - 1,
        )
        text = text[:first] + new + text[last:]
    return text


def _break(document: Document) -> str:
    found = BREAK.search(document.text)
    return found.group() if found else "\n"


def _start(change: Replacement) -> tuple[int, int]:
    return change.span.start_line, change.span.start_column


def _end(change: Replacement) -> tuple[int, int]:
    return change.span.end_line, change.span.end_column
