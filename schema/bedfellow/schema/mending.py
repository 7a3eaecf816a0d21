"""What can still be read of a file that is not YAML yet: the entry at fault is left out, the rest keeps its lines."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from bedfellow.schema.encoding import BREAK
from bedfellow.schema.events import Mishap

MOST_ENTRIES = 8

# What the parsers complain of, in words for the person who typed it; the first that fits is used.
_WORDS = (
    ("tab character", "a tab stands where spaces are expected; indent with spaces"),
    ("'\\t'", "a tab stands where spaces are expected; indent with spaces"),
    ("unexpected end of stream", "a quotation mark is opened and never closed"),
    (
        "mapping values are not allowed",
        "a second ': ' on one line, or a line indented too far; quote text that holds ': '",
    ),
    ("while scanning a simple key", "a line without ': '; expected 'key: value'"),
    ("while parsing a flow sequence", "a list that begins with '[' is not closed, or a ',' is missing in it"),
    ("while parsing a flow mapping", "a mapping that begins with '{' is not closed, or a ',' is missing in it"),
    ("while parsing a flow node", "a value is missing after '[', '{' or ','"),
    ("while parsing a block mapping", "this line is not indented like the keys above it"),
    ("while parsing a block collection", "this line is not indented like the items above it; items begin with '- '"),
    ("block sequence entries are not allowed", "'- ' begins a list item, which cannot stand here"),
    ("escape", "an unknown escape after '\\' in double quotes; write text with '\\' in single quotes"),
    ("hexdecimal", "an unknown escape after '\\' in double quotes; write text with '\\' in single quotes"),
    ("cannot start any token", "text cannot begin with this character; put the text in quotes"),
    ("undefined tag handle", "'!' begins a tag, which plans do not use; put the text in quotes"),
    ("while scanning a tag", "'!' begins a tag, which plans do not use; put the text in quotes"),
    ("while scanning an alias", "'*' names an alias; put the text in quotes"),
    ("while scanning an anchor", "'&' names an anchor; put the text in quotes"),
    ("while scanning a block scalar", "text after '|' or '>' begins on the next line, indented"),
    ("directive", "a line beginning with '%' stands where a plan is expected"),
    ("document start", "the text goes on where the plan has ended; check the indentation"),
)


def in_words(mishap: Mishap) -> str:
    """One clause on what is wrong, without the parser's own wording."""
    said = f"{mishap.context} {mishap.problem}"
    return next(
        (words for part, words in _WORDS if part in said),
        "this cannot be read here; check quotes, brackets and indentation",
    )


def mended(
    text: str, mishap: Mishap, attempt: Callable[[str], Mishap | None]
) -> tuple[str, list[tuple[int, int]]] | None:
    """The text with as few entries blanked as make it readable, and their first and last lines (from 0).

    attempt: parses a text and returns its first mishap, None if there is none. None if eight entries do not suffice.
    """
    breaks = BREAK.findall(text)
    lines = BREAK.split(text)
    left_out: list[tuple[int, int]] = []
    found: Mishap | None = mishap
    for _ in range(MOST_ENTRIES):
        assert found is not None
        trials = []
        for first, last in sorted(set(_entries(lines, found))):
            trial = [*lines[:first], *([""] * (last - first + 1)), *lines[last + 1 :]]
            after = attempt(_joined(trial, breaks))
            trials.append((after is None, after.line if after else 0, first - last, first, last, trial, after))
        if not trials:
            return None
        *_, first, last, lines, found = max(trials, key=lambda trial: trial[:4])
        left_out.append((first, last))
        if found is None:
            return _joined(lines, breaks), sorted(left_out)
    return None


def _entries(lines: list[str], mishap: Mishap) -> Iterator[tuple[int, int]]:
    """Entries that may be at fault: where the parser stopped, the last text before it, where the unfinished thing began."""
    stopped, start = (min(line, len(lines) - 1) for line in (mishap.line, mishap.start[0]))
    for line in (stopped, stopped - 1, start):
        while line > 0 and not lines[line].strip():
            line -= 1
        if 0 <= line < len(lines) and lines[line].strip():
            yield line, _end(lines, line)


def _end(lines: list[str], first: int) -> int:
    """Last line of the entry that begins at `first`: the lines below that are indented further."""
    indent = _indent(lines[first])
    last = first
    for number in range(first + 1, len(lines)):
        if lines[number].strip():
            if _indent(lines[number]) <= indent:
                break
            last = number
    return last


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" \t"))


def _joined(lines: list[str], breaks: list[str]) -> str:
    return "".join(line + end for line, end in zip(lines, [*breaks, ""], strict=True))
