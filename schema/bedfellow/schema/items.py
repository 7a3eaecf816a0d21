"""How the items of a plan are read: each field of a declaration names its kind, and `read` makes the object of plain data.

    altitude: float | None = item(kinds.level)                        one key of the plan, by the field's own name
    since: int | None = item(kinds.whole, None, "from")               under another name
    ends: tuple[Point, ...] = item(kinds.ends, (), "from", "to")      several keys, one value
    windows: tuple[Window, ...] = item(kinds.many("Window"), ())      objects of `details`, loaded when a plan has them

A value that is none is noted as a fault at its place and left out; so is a list item with anything at fault in it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, field, fields
from functools import cache
from importlib import import_module
from typing import Any, NamedTuple

from bedfellow.schema import units
from bedfellow.schema.geometry import Point
from bedfellow.schema.place import Fault, Path
from bedfellow.schema.reader import Document


class Reading(NamedTuple):
    """A length that the plan gives in another unit than metres, as it was read: where, its text, metres."""

    path: Path
    text: str
    metres: float


class Notes:
    """What is noted while a plan is decoded.

    at_fault: paths that are wrong already; special: by the name of a class, what else is made of its values before the
    object is, false to leave it out; measured_in: what the plan's pH was measured in; holes: ground without plants.
    """

    def __init__(self, document: Document, at_fault: frozenset[Path], special: Mapping[str, Special]) -> None:
        self.document, self.at_fault, self.special = document, at_fault, special
        self.faults: list[Fault] = []
        self.readings: list[Reading] = []
        self.holes: list[tuple[Point, ...]] = []
        self.measured_in: str | None = None

    def fault(self, path: Path, message: str, code: str = "PLAN-03") -> None:
        """Note what is wrong at a path."""
        self.faults.append(Fault(code, path, self.document.span(path), message))

    def bad(self, path: Path) -> bool:
        """Something at this path or below it is wrong already."""
        return any(fault[: len(path)] == path for fault in self.at_fault)

    def length(self, path: Path, raw: Any, least: float | None = None) -> float | None:
        """Metres; None, and a fault, for what is no length or is less than `least`."""
        try:
            value = units.length(raw)
        except ValueError as error:
            self.fault(path, f"{error}.")
            return None
        if least is not None and value < least:
            self.fault(path, f"{units.shown(raw)} is below {least:g} m.")
            return None
        if isinstance(raw, str) and raw.strip(" 0123456789.+-") != "m":
            self.readings.append(Reading(path, " ".join(raw.split()), value))
        return value


class Kind(NamedTuple):
    """How a value is read. of: the class of the objects it makes, or its name in `details`; whole: it reads several keys."""

    read: Callable[[Notes, Path, Any], Any]
    of: type | str | None = None
    whole: bool = False


Special = Callable[[Notes, Path, dict[str, Any]], bool]


def item(kind: Kind, default: Any = None, *names: str) -> Any:
    """A field read from the keys `names` of a plan, by default its own name. default: its value, or dict for an empty one."""
    how = {"kind": kind, "names": names}
    return field(default_factory=dict, metadata=how) if default is dict else field(default=default, metadata=how)


def needed(kind: Kind, *names: str) -> Any:
    """A field without which there is no object."""
    return field(metadata={"kind": kind, "names": names})


def others() -> Any:
    """The field for keys that begin with x-, as they stand in the plan."""
    return field(default_factory=dict)


class Table(NamedTuple):
    """Of a class: key in the plan → (field, kind), and the fields that cannot be left out."""

    forms: Mapping[str, tuple[str, Kind]]
    needed: frozenset[str]


@cache
def table_of(cls: type) -> Table:
    """What a declaration says of its fields, in its order."""
    read = [entry for entry in fields(cls) if entry.metadata]
    forms = {
        name: (entry.name, entry.metadata["kind"])
        for entry in read
        for name in entry.metadata["names"] or (entry.name,)
    }
    bare = (entry for entry in read if entry.default is MISSING and entry.default_factory is MISSING)
    return Table(forms, frozenset(entry.name for entry in bare))


def loaded(of: type | str) -> type:
    """The class that a kind names."""
    found: type = getattr(import_module("bedfellow.schema.details"), of) if isinstance(of, str) else of
    return found


def read(cls: type, notes: Notes, path: Path, raw: Any) -> Any:
    """The object of a mapping; None where it is no mapping or something that it needs is missing."""
    if not isinstance(raw, dict):
        return None
    forms, wanted = table_of(cls)
    values: dict[str, Any] = {"path": path}
    extra = {}
    for name, entry in raw.items():
        form = forms.get(name)
        if form is None:
            if name.startswith("x-"):
                extra[name] = entry
            continue
        attribute, kind = form
        if entry is None or (notes.at_fault and _left_out(notes, kind, (*path, name))):
            continue
        if kind.whole:
            value = None if attribute in values else kind.read(notes, path, raw)
        else:
            value = _told(kind, notes, (*path, name), entry)
        if value is not None:
            values[attribute] = value
    if extra:
        values["extra"] = extra
    special = notes.special.get(cls.__name__)
    if (special and not special(notes, path, values)) or not wanted <= values.keys():
        return None
    return cls(**values)


def _left_out(notes: Notes, kind: Kind, path: Path) -> bool:
    """A value with anything at fault in it; of a mapping or list of them only the part at fault, which is seen to below."""
    return path in notes.at_fault if kind.of else not kind.whole and notes.bad(path)


def _told(kind: Kind, notes: Notes, path: Path, raw: Any) -> Any:
    try:
        return kind.read(notes, path, raw)
    except ValueError as error:
        notes.fault(path, f"{error}.", "PLAN-02")
        return None
