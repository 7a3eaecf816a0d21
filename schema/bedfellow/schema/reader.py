"""One reading of a YAML file: plain data, and where each value stands.

    bytes ─ encoding ─→ text ─ events ─→ builder ─→ Document(data, faults)
                                  │ not YAML
                                  └ mending: again without the entry at fault

Nothing here raises for bad input: what is wrong becomes a Fault with the code PLAN-01.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path as FilePath
from typing import Any

from bedfellow.schema.builder import Bounds, Built, build
from bedfellow.schema.encoding import BREAK, decode, unprintable
from bedfellow.schema.events import Mishap, quick, thorough
from bedfellow.schema.place import Fault, Node, Path, Place, Span, marks_of

# Line breaks in YAML 1.1 that are plain characters in YAML 1.2 (section 5.4): hidden from both parsers while they read.
_OLD_BREAKS = "\x85\u2028\u2029"


class Document:
    """A file as read. `name` as given, `data` plain, `complete` False when part of the file was left out."""

    __slots__ = ("_lines", "_place", "complete", "data", "faults", "name", "text")

    def __init__(
        self,
        name: str,
        text: str,
        data: Any = None,
        place: Node = (0, 0, 0, 0),
        faults: Iterable[Fault] = (),
        complete: bool = False,
    ) -> None:
        self.name = name
        self.text = text
        self.data = data
        self.faults = tuple(faults)
        self.complete = complete
        self._place = place
        self._lines: list[str] | None = None

    def span(self, path: Path) -> Span:
        """Span of the value at a path; of the nearest value above it that exists."""
        node = self._place
        for step in path:
            child = node.child(step) if isinstance(node, Place) else None
            if child is None:
                break
            node = child
        return Span.of(marks_of(node))

    def key_span(self, path: Path) -> Span:
        """Span of the key of the value at a path; of the value itself where it has none."""
        node = self._place
        for step in path[:-1]:
            child = node.child(step) if isinstance(node, Place) else None
            if child is None:
                return self.span(path)
            node = child
        keys = node.keys if isinstance(node, Place) else None
        last = path[-1] if path else None
        return Span.of(keys[last]) if keys and isinstance(last, str) and last in keys else self.span(path)

    def told(self, fault: Fault) -> str:
        """A fault of this file in a line: file, line, column and sentence."""
        span = fault.span or self.span(fault.path)
        return f"{self.name}:{span.start_line}:{span.start_column}: {fault.message}"

    def line(self, number: int) -> str:
        """A line of the file, from 1, without its break; empty beyond the end."""
        if self._lines is None:
            self._lines = BREAK.split(self.text)
        return self._lines[number - 1] if 0 < number <= len(self._lines) else ""


def read_file(path: FilePath, bounds: Bounds | None = None) -> Document:
    """The document in a file; everything that can be wrong with the file is among its faults."""
    bounds = bounds or Bounds()
    name = str(path)

    def refused(message: str) -> Document:
        return Document(name, "", faults=[Fault("PLAN-01", (), None, message)])

    try:
        if path.is_dir():
            return refused("this is a folder, not a plan file")
        if not path.exists():
            return refused("there is no such file")
        if not path.is_file():
            return refused("this is not an ordinary file")
        size = path.stat().st_size
        if size <= bounds.size:
            with path.open("rb") as file:
                raw = file.read(bounds.size + 1)
            size = max(size, len(raw))
    except PermissionError:
        return refused("the file may not be read; ask for the right to read it")
    except (OSError, ValueError) as error:
        return refused(f"the file cannot be read: {getattr(error, 'strerror', None) or error}")
    if size > bounds.size:
        return refused(f"the file is too large: {size / 1048576:.1f} MiB; at most {bounds.size / 1048576:g} MiB")
    text, span, problem = decode(raw)
    if problem:
        return Document(name, text, faults=[Fault("PLAN-01", (), span, problem)])
    return _read(text, name, bounds)


def read_text(text: str, name: str, bounds: Bounds | None = None) -> Document:
    """The document in a text."""
    bounds = bounds or Bounds()
    text = text.removeprefix("\ufeff")
    span, problem = unprintable(text)
    if not problem and len(text) > bounds.size:
        problem = f"the text is too long: {len(text)} characters; at most {bounds.size}"
    if problem:
        return Document(name, text, faults=[Fault("PLAN-01", (), span, problem)])
    return _read(text, name, bounds)


def _read(text: str, name: str, bounds: Bounds) -> Document:
    hidden, restore = _hide(text)
    left_out: list[tuple[int, int]] = []
    mishap = None
    try:
        built = _parse(hidden, bounds)
    except Mishap as error:
        mishap = error
        built, left_out = _rest(hidden, error, bounds)
    if restore is not None:
        built.data = _restored(built.data, restore)
    faults = built.faults
    if mishap is not None:
        faults.insert(0, _syntax_fault(mishap, left_out))
    elif built.empty and not faults:
        faults.append(Fault("PLAN-01", (), None, "the file is empty; a plan begins with 'format: 1'"))
    return Document(name, text, built.data, built.place, faults, built.whole and mishap is None and not built.empty)


def _parse(text: str, bounds: Bounds) -> Built:
    """By libyaml; by ruamel.yaml where libyaml is missing or anything looks wrong. Raises Mishap if ruamel.yaml refuses."""
    events = quick(text)
    if events is not None:
        with suppress(Mishap):
            built = build(events, bounds)
            if built.too_much or (isinstance(built.place, Place) and not built.faults):
                return built
    return build(thorough(text), bounds)


def _rest(text: str, mishap: Mishap, bounds: Bounds) -> tuple[Built, list[tuple[int, int]]]:
    """What can be read without the entries at fault, and the lines left out."""
    from bedfellow.schema.mending import mended

    readable: list[Built] = []

    def attempt(trial: str) -> Mishap | None:
        events = quick(trial)
        try:
            readable[:] = [build(thorough(trial) if events is None else events, bounds)]
        except Mishap as error:
            return error
        return None

    found = mended(text, mishap, attempt)
    if found is None or attempt(found[0]) is not None:
        return Built(whole=False), []
    return readable[0], found[1]


def _syntax_fault(mishap: Mishap, left_out: list[tuple[int, int]]) -> Fault:
    from bedfellow.schema.mending import in_words

    span = Span(mishap.line + 1, mishap.column + 1, mishap.line + 1, mishap.column + 2)
    related = []
    if mishap.start[0] != mishap.line:
        line, column = mishap.start
        related.append((Span(line + 1, column + 1, line + 1, column + 2), "what is not finished begins here"))
    related += [
        (Span(first + 1, 1, last + 2, 1), "left out, so that the rest could be judged") for first, last in left_out
    ]
    rest = "" if left_out else "; nothing of the file could be judged"
    return Fault("PLAN-01", (), span, f"not YAML: {in_words(mishap)}{rest}", tuple(related))


def _hide(text: str) -> tuple[str, Callable[[str], str] | None]:
    """The text with old line breaks under private characters that it does not use, and how to bring them back."""
    present = [char for char in _OLD_BREAKS if char in text]
    if not present:
        return text, None
    private = (chr(code) for code in range(0xE000, 0xF900) if chr(code) not in text)
    there = {ord(char): next(private) for char in present}
    back = {ord(hidden): chr(code) for code, hidden in there.items()}
    return text.translate(there), lambda value: value.translate(back)


def _restored(data: Any, restore: Callable[[str], str]) -> Any:
    match data:
        case str():
            return restore(data)
        case list():
            return [_restored(item, restore) for item in data]
        case dict():
            return {restore(key): _restored(value, restore) for key, value in data.items()}
        case _:
            return data
