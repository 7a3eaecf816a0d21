"""Kinds of item: how each form of value in a plan becomes what the program works with.

Lengths are metres, bearings degrees, slopes rise over run, months (year, month) or a number, days of the year from 1,
reactions (low, high) pH in water. Where a value has the wrong form the schema has told, and it is None here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from bedfellow.schema import units
from bedfellow.schema.geometry import Point, area, crossing
from bedfellow.schema.items import Kind, Notes, loaded, read
from bedfellow.schema.place import Path

LEAST_DISTANCE = 0.01  # m: what stands closer is a slip
MOST = 100_000  # of anything that is counted

# ---- plain values


def _word(_: Notes, __: Path, raw: Any) -> str | None:
    return raw if isinstance(raw, str) else None


def _number(_: Notes, __: Path, raw: Any) -> float | None:
    return raw if units.is_number(raw) else None


def _as_it_is(_: Notes, __: Path, raw: Any) -> Any:
    return raw


def _whole(_: Notes, __: Path, raw: Any) -> int | None:
    return raw if units.is_number(raw) and isinstance(raw, int) and 0 <= raw <= MOST else None


def _yes(_: Notes, __: Path, raw: Any) -> bool | None:
    return True if raw in (True, "yes") else False if raw in (False, "no") else None


def _several(kind: Kind, notes: Notes, path: Path, raw: Any) -> tuple[Any, ...]:
    if not isinstance(raw, list):
        found = kind.read(notes, path, raw)
        return () if found is None else (found,)
    got = [kind.read(notes, (*path, n), entry) for n, entry in enumerate(raw)]
    return tuple(value for value in got if value is not None)


def several(kind: Kind) -> Kind:
    """A tuple of values of one kind; a single value may stand for a list of one."""
    return Kind(partial(_several, kind))


def _pair(kind: Kind, notes: Notes, path: Path, raw: Any) -> tuple[Any, ...] | None:
    found = _several(kind, notes, path, raw) if isinstance(raw, list) else ()
    return found if len(found) == 2 else None


def pair(kind: Kind) -> Kind:
    """Two values of one kind."""
    return Kind(partial(_pair, kind))


def _mapped(key: Callable[[str], Any], kind: Kind, notes: Notes, path: Path, raw: Any) -> dict[Any, Any] | None:
    if not isinstance(raw, dict):
        return None
    got = {key(name): kind.read(notes, (*path, name), raw[name]) for name in raw if not name.startswith("x-")}
    return {name: value for name, value in got.items() if value is not None}


# ---- measures


def _length(least: float | None, notes: Notes, path: Path, raw: Any) -> float | None:
    return notes.length(path, raw, least)


def _measure(of: Callable[[Any], Any], _: Notes, __: Path, raw: Any) -> Any:
    return of(raw)


def _reaction(notes: Notes, _: Path, raw: Any) -> tuple[float, float]:
    return units.reaction(raw, notes.measured_in)


def _day(_: Notes, __: Path, raw: Any) -> int:
    from bedfellow.schema.values import day_of_year

    return day_of_year(raw)


def _since(notes: Notes, path: Path, raw: Any) -> int | tuple[int, int] | None:
    return units.month(raw) if isinstance(raw, str) else _whole(notes, path, raw)


# ---- places


def _point(notes: Notes, path: Path, raw: Any) -> Point | None:
    if not isinstance(raw, list) or len(raw) != 2:
        return None
    x, y = notes.length((*path, 0), raw[0]), notes.length((*path, 1), raw[1])
    return (x, y) if x is not None and y is not None else None


def _points(notes: Notes, path: Path, raw: Any) -> tuple[Point, ...]:
    if not isinstance(raw, list):
        return ()
    if raw and not isinstance(raw[0], list):
        one = _point(notes, path, raw)
        return () if one is None else (one,)
    got = [_point(notes, (*path, n), entry) for n, entry in enumerate(raw)]
    return tuple(found for found in got if found is not None)


def _outline(notes: Notes, path: Path, raw: Any) -> tuple[Point, ...] | None:
    if not isinstance(raw, list):
        return None
    corners = _points(notes, path, raw)
    if corners and corners[0] == corners[-1]:
        corners = corners[:-1]
    if len(corners) < 3:
        notes.fault(path, "an outline needs three corners or more.")
        return None
    crossed = crossing(corners)
    if crossed:
        notes.fault(path, f"the outline crosses itself: edge {crossed[0] + 1} and edge {crossed[1] + 1}.")
        return None
    if area(corners) <= 0:
        notes.fault(path, "the outline has no area.")
        return None
    return corners


def _ends(notes: Notes, path: Path, raw: Mapping[str, Any]) -> tuple[Point, ...]:
    got = [_point(notes, (*path, name), raw[name]) for name in ("from", "to", "at") if name in raw]
    return tuple(found for found in got if found is not None)


# ---- objects


def _one(of: type | str, short: str, notes: Notes, path: Path, raw: Any) -> Any:
    return read(loaded(of), notes, path, {short: raw} if short and isinstance(raw, str) else raw)


def _many(of: type | str, notes: Notes, path: Path, raw: Any) -> tuple[Any, ...]:
    if not isinstance(raw, list):
        return ()
    cls, got = loaded(of), []
    for n, entry in enumerate(raw):
        if not (notes.at_fault and notes.bad((*path, n))):
            got.append(read(cls, notes, (*path, n), entry))
    return tuple(found for found in got if found is not None)


def _either(of: type | str, single: str, plural: str, notes: Notes, path: Path, raw: Mapping[str, Any]) -> Any:
    found = read(loaded(of), notes, (*path, single), raw.get(single))
    return (*(() if found is None else (found,)), *_many(of, notes, (*path, plural), raw.get(plural)))


def one(of: type | str, short: str = "") -> Kind:
    """A mapping as an object of a class, or of the class of that name in `details`. short: the key that a lone word stands for."""
    return Kind(partial(_one, of, short), of)


def many(of: type | str) -> Kind:
    """A list of such mappings; one with anything at fault in it is left out."""
    return Kind(partial(_many, of), of)


def either(of: type | str, single: str, plural: str) -> Kind:
    """One mapping under one key, or a list of them under another."""
    return Kind(partial(_either, of, single, plural), of, whole=True)


def _stated(notes: Notes, path: Path, raw: Any) -> dict[str, Any] | None:
    """What a line itself says of its plant; a word or value that is none is told and left out."""
    if not isinstance(raw, dict):
        return None
    from difflib import get_close_matches

    from bedfellow.schema.traits import trait_table
    from bedfellow.schema.values import read_value

    table, said, cls = trait_table().traits, {}, loaded("Stated")
    for name, entry in raw.items():
        if name not in table:
            near = get_close_matches(name, table, 1)
            hint = f"; did you mean {near[0]}?" if near else ""
            notes.fault((*path, name), f"there is no trait '{name}'{hint}.", "PLAN-02")
        elif isinstance(entry, dict) and "value" in entry:
            try:
                value = read_value(table[name], entry["value"])
            except ValueError as error:
                notes.fault((*path, name), f"{error}.", "PLAN-02")
            else:
                said[name] = cls((*path, name), value, str(entry.get("reason", "")))
    return said


as_it_is, word, number, whole, yes = Kind(_as_it_is), Kind(_word), Kind(_number), Kind(_whole), Kind(_yes)
words, numbers = several(word), several(number)
level, length, centres = (
    Kind(partial(_length, None)),
    Kind(partial(_length, 0.0)),
    Kind(partial(_length, LEAST_DISTANCE)),
)
lengths = several(length)
bearing, slope = Kind(partial(_measure, units.bearing)), Kind(partial(_measure, units.gradient))
month, supplied = Kind(partial(_measure, units.month)), Kind(partial(_measure, units.supplied))
reaction, day, since = Kind(_reaction), Kind(_day), Kind(_since)
point, points, outline, ends = Kind(_point), Kind(_points), Kind(_outline), Kind(_ends, whole=True)
by_month, by_season = Kind(partial(_mapped, int, number)), Kind(partial(_mapped, str, words))
stated = Kind(_stated, "Stated")
