"""Rows of a CSV, JSON or YAML file, one after the other, however long the file is.

    CSV    headings, then a line a row
    JSON   an array of objects, or an object a line
    YAML   a list of mappings

A file that cannot be read on raises `BrokenFile` with the line; a row that is wrong comes as `WrongRow`, and reading goes on.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple, TextIO

FORMS = ("csv", "json", "yaml")
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", ",": ",", ";": ";", "\t": "\t"}
CHUNK = 1 << 16
LONGEST = 1 << 20  # characters of a row
DEEPEST = 12
FORMULA = ("=", "+", "-", "@", "\t", "\r")  # what makes a spreadsheet reckon (OWASP, CSV injection)


class Row(NamedTuple):
    """One row. line: where it begins, from 1; cells: texts in a CSV, plain data elsewhere; empty cells are left out."""

    line: int
    cells: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class WrongRow:
    """A row that says nothing, and why."""

    line: int
    message: str


class BrokenFile(Exception):
    """A file that cannot be read, or not on; `line` is 0 where no line is to blame."""

    def __init__(self, message: str, line: int = 0) -> None:
        super().__init__(message)
        self.line = line


def form_of(path: Path) -> str | None:
    """The form that the end of the name promises."""
    ending = path.suffix.lower().lstrip(".")
    return {"yml": "yaml", "jsonl": "json", "txt": "csv", "tsv": "csv"}.get(ending, ending if ending in FORMS else None)


def read_rows(path: Path, form: str, separator: str = ",", wrong: Callable[[Sequence[str]], str | None] = lambda names: None) -> Iterator[Row | WrongRow]:  # fmt: skip
    """The rows of a file. wrong: says what is wrong with the headings of a CSV. Raises BrokenFile, also half way."""
    try:
        with path.open("rb") as raw:
            head = raw.read(4096)
        _look_at(head)
        with path.open(encoding="utf-8-sig", newline="" if form == "csv" else None) as stream:
            readers = {
                "csv": lambda: _csv(stream, separator, wrong),
                "json": lambda: _json(stream),
                "yaml": lambda: _yaml(stream),
            }
            yield from readers[form]()
    except UnicodeDecodeError:
        line, byte = _not_utf_8(path)
        meant = bytes([byte]).decode("windows-1252", "ignore")
        hint = f" (in Windows-1252 it would be '{meant}')" if meant else ""
        raise BrokenFile(f"byte 0x{byte:02X} is not UTF-8{hint}; save the file as UTF-8", line) from None
    except FileNotFoundError:
        raise BrokenFile("there is no such file") from None
    except IsADirectoryError:
        raise BrokenFile("this is a folder") from None
    except OSError as error:
        raise BrokenFile(f"the file cannot be read: {error.strerror}") from None


def _look_at(head: bytes) -> None:
    if not head.strip():
        raise BrokenFile("the file is empty")
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise BrokenFile("the file is UTF-16; save it as UTF-8")
    if head.startswith(b"PK\x03\x04") or head.startswith(b"\xd0\xcf\x11\xe0"):
        raise BrokenFile("this is a workbook of a spreadsheet; save the sheet as CSV in UTF-8")
    if b"\0" in head:
        raise BrokenFile("the file holds NUL bytes: it is no text, or UTF-16; save it as UTF-8")


def _not_utf_8(path: Path) -> tuple[int, int]:
    """The line and the value of the first byte that is not UTF-8."""
    with path.open("rb") as raw:
        for number, line in enumerate(raw, 1):
            try:
                line.decode("utf-8")
            except UnicodeDecodeError as error:
                return number, line[error.start]
    return 0, 0


def _csv(stream: TextIO, separator: str, wrong: Callable[[Sequence[str]], str | None]) -> Iterator[Row | WrongRow]:
    reader = csv.reader(stream, delimiter=separator, strict=True)
    headings: Sequence[str] | None = None
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            raise BrokenFile(f"the row cannot be read: {error}; is a quote not closed?", line) from None
        if cells is None:
            break
        if not any(cell.strip() for cell in cells):
            continue
        if headings is None:
            headings = _headings([cell.strip() for cell in cells], separator, line)
            if message := wrong(headings):
                raise BrokenFile(message, line)
        elif len(cells) != len(headings):
            yield WrongRow(line, f"{len(cells)} cells under {len(headings)} headings: is a cell with a separator not quoted?")  # fmt: skip
        else:
            yield Row(line, {name: _text(cell) for name, cell in zip(headings, cells, strict=True) if cell.strip()})
    if headings is None:
        raise BrokenFile("the file has no headings")


def _headings(names: list[str], separator: str, line: int) -> list[str]:
    if len(names) == 1:
        other = next((word for word, sign in SEPARATORS.items() if sign != separator and sign in names[0]), None)
        if other is not None:
            raise BrokenFile(f"the columns seem to be parted by a {other}: say --separator {other}", line)
    for name in names:
        if not name:
            raise BrokenFile("a column has no heading", line)
        if names.count(name) > 1:
            raise BrokenFile(f"the heading '{name}' stands twice", line)
    return names


def _text(cell: str) -> str:
    """A cell without the quote that keeps a spreadsheet from reckoning it."""
    cell = cell.strip()
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(FORMULA) else cell


def guarded(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula: numbers as they are, the rest behind a quote where it must."""
    if not cell.startswith(FORMULA):
        return cell
    try:
        float(cell)
    except ValueError:
        return f"'{cell}"
    return cell if cell.isascii() and cell[0] in "+-" and "\r" not in cell else f"'{cell}"


def _json(stream: TextIO) -> Iterator[Row | WrongRow]:
    decoder = json.JSONDecoder(object_pairs_hook=_once, parse_constant=_no_constant)
    text, at, line, more, opened, closed = "", 0, 1, True, False, False
    while True:
        # Past what lies between rows.
        while True:
            while at < len(text) and (text[at].isspace() or (opened and text[at] == ",")):
                line += text[at] == "\n"
                at += 1
            if at < len(text) or not more:
                break
            text, at = stream.read(CHUNK), 0
            more = bool(text)
        if at >= len(text):
            break
        if text[at] == "[" and not opened and not closed:
            opened, at = True, at + 1
            continue
        if text[at] == "]" and opened:
            opened, closed, at = False, True, at + 1
            continue
        if closed or text[at] != "{":
            raise BrokenFile("JSON with rows is an array of objects, or an object a line", line)
        text, at = text[at:], 0
        while True:
            try:
                data, at = decoder.raw_decode(text)
                break
            except RecursionError:
                raise BrokenFile("the row is nested too deep", line) from None
            except ValueError as error:
                chunk = stream.read(CHUNK) if more and len(text) <= LONGEST else ""
                if not chunk:
                    raise BrokenFile(f"the row is not JSON, or the file ends inside it: {error}", line) from None
                text += chunk
        yield _plain(line, data)
        line += text.count("\n", 0, at)
    if opened:
        raise BrokenFile("the file ends before the array does", line)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) < len(pairs):
        twice = next(key for key, _ in pairs if [k for k, _ in pairs].count(key) > 1)
        return {**data, "": f"'{twice}' stands twice"}
    return data


def _no_constant(text: str) -> Any:
    return text  # NaN and Infinity are no JSON; as text, no trait takes them


def _plain(line: int, data: Mapping[str, Any]) -> Row | WrongRow:
    if "" in data:
        return WrongRow(line, str(data[""]) or "a key is empty")
    return Row(line, {key: value for key, value in data.items() if value is not None and value != ""})


def _yaml(stream: TextIO) -> Iterator[Row | WrongRow]:
    """Row by row from the events of the parser, so that the file is never held whole."""
    from bedfellow.schema.events import DOCUMENT, END, KINDS, MAPPING, SEQUENCE, Mishap, quick, thorough

    events = quick(stream) or thorough(stream.read())
    depth = 0
    try:
        for event in events:
            kind = KINDS.get(type(event).__name__)
            line = event.start_mark.line + 1
            # A mapping that begins here is read to its end by _built, so ends seen here are those of the list.
            if depth == 0 and kind == SEQUENCE:
                depth = 1
            elif depth == 1 and kind == MAPPING:
                data = _built(event, events, 1)
                yield _plain(line, data) if isinstance(data, dict) else WrongRow(line, str(data))
            elif depth == 1 and kind == END:
                depth = 2
            elif kind not in (None, DOCUMENT):
                raise BrokenFile("YAML with rows is a list of mappings", line)
    except Mishap as mishap:
        raise BrokenFile(f"not YAML: {mishap.problem or mishap.context}", mishap.line + 1) from None
    if depth == 0:
        raise BrokenFile("YAML with rows is a list of mappings", 1)


def _built(event: Any, events: Iterator[Any], depth: int) -> Any:
    """Plain data of one value; scalars by the core schema of YAML 1.2. Aliases are refused."""
    from bedfellow.schema.events import END, KINDS, MAPPING, SCALAR, SEQUENCE
    from bedfellow.schema.scalars import resolve

    kind = KINDS.get(type(event).__name__)
    line = event.start_mark.line + 1
    if depth > DEEPEST:
        raise BrokenFile("the row is nested too deep", line)
    if kind == SCALAR:
        try:
            return resolve(event.value) if event.implicit[0] else event.value
        except OverflowError as error:
            raise BrokenFile(str(error), line) from None
    if kind == SEQUENCE:
        items = []
        while KINDS.get(type(event := next(events)).__name__) != END:
            items.append(_built(event, events, depth + 1))
        return items
    if kind == MAPPING:
        pairs = []
        while KINDS.get(type(event := next(events)).__name__) != END:
            key = _built(event, events, depth + 1)
            pairs.append((str(key), _built(next(events), events, depth + 1)))
        return _once(pairs)
    raise BrokenFile("an alias, which a table of values does not need", line)
