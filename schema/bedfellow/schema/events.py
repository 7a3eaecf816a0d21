"""Two sources of YAML events: libyaml through PyYAML, which is quick, and ruamel.yaml, which decides.

libyaml reads YAML 1.1 and refuses some text that YAML 1.2 allows; whatever it refuses is read again with ruamel.yaml.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TextIO

SCALAR, ALIAS, MAPPING, SEQUENCE, END, DOCUMENT = range(6)
KINDS = {
    "ScalarEvent": SCALAR,
    "AliasEvent": ALIAS,
    "MappingStartEvent": MAPPING,
    "SequenceStartEvent": SEQUENCE,
    "MappingEndEvent": END,
    "SequenceEndEvent": END,
    "DocumentStartEvent": DOCUMENT,
}  # the start and end of the stream and the end of a document carry nothing


@dataclass(frozen=True, slots=True)
class Mishap(Exception):
    """Where and why a parser gave up; lines and columns from 0, `start` is where the unfinished thing begins."""

    problem: str
    context: str
    line: int
    column: int
    start: tuple[int, int]


def quick(text: str | TextIO) -> Iterator[Any] | None:
    """Events by libyaml, of a text or of a file as it is read; None where PyYAML came without it. Raises Mishap while iterating."""
    try:
        from yaml._yaml import CParser
    except ImportError:
        return None
    return _quick(CParser(text))


def _quick(parser: Any) -> Iterator[Any]:
    from yaml import YAMLError

    try:
        yield from iter(parser.get_event, None)
    except YAMLError as error:
        raise _mishap(error) from None


def thorough(text: str) -> Iterator[Any]:
    """Events by ruamel.yaml. Raises Mishap while iterating."""
    import io

    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    try:
        yield from YAML(typ="safe", pure=True).parse(io.StringIO(text))
    except YAMLError as error:
        raise _mishap(error) from None
    except (ValueError, IndexError, AttributeError, AssertionError) as error:  # seen on broken escapes and directives
        raise Mishap(str(error), "", 0, 0, (0, 0)) from None


def _mishap(error: Any) -> Mishap:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    context_mark = getattr(error, "context_mark", None) or mark
    if mark is None or context_mark is None:
        return Mishap(str(getattr(error, "problem", error)), "", 0, 0, (0, 0))
    return Mishap(
        str(error.problem or ""),
        str(error.context or ""),
        mark.line,
        mark.column,
        (context_mark.line, context_mark.column),
    )
