"""One value of a trait as the text of one cell of a table, and as the plain data that a record would say.

measure    2 | 60 cm | 2 to 3 m | 2 to 4, typical 2.5        window   mid May to late June | 05-20 to 06-25 | --05-20/--06-25
tolerance  5.5 to 7.5 | moist to wet | H5                    … of interest   May to June; strength 3; colours white, pale yellow
class      fair | 2          yes-no   yes | no               hazards  dogs, eaten, bulb, 2; cats, eaten, bulb, 2 | none
choice     full sun; part shade                              listings EU, list, 2022-08, taxon | none

Reading and writing are each other's inverse: ``read_value(trait, read_cell(trait, write_cell(trait, value)))`` is the value.
"""

from __future__ import annotations

import json
import re
from typing import Any

from bedfellow.schema.traits import Trait
from bedfellow.schema.units import METRES, length, shown
from bedfellow.schema.values import (
    FIRST_DAYS,
    MONTH_END,
    MONTH_START,
    MONTHS,
    THIRDS,
    YEAR,
    Hazard,
    Listing,
    Measure,
    Tolerance,
    Value,
    Window,
    month_of,
    read_value,
)

LONGEST = 4000  # characters of a cell
_NUMBER = re.compile(r"([-+−]?[0-9]+(?:\.[0-9]+)?)\s*(.*)", re.DOTALL)
_COMMA = re.compile(r"[-+−]?[0-9]+,[0-9]+\b")
_BETWEEN_NUMBERS = re.compile(r"\s+to\s+|\s*[–—]\s*|(?<=[0-9a-zA-Z°])\s*-\s*(?=[0-9])|\s+-\s+(?=[-0-9])")
_BETWEEN_WORDS = re.compile(r"\s+to\s+|\s*[–—]\s*")
_INTERVAL = re.compile(r"--([0-9]{2}-[0-9]{2})/--([0-9]{2}-[0-9]{2})")  # XML Schema gMonthDay
# What else a unit of the table of traits may be called, and the factor to it.
_CALLED = {
    "years": {"year": 1.0},
    "seasons": {"season": 1.0},
    "1": {"%": 0.01},
    "pH in water": {"pH": 1.0},
    "plants a m²": {"plants/m²": 1.0, "/m²": 1.0, "per m²": 1.0},
    "°C": {"C": 1.0},
    "mm": {unit: metres * 1000 for unit, metres in METRES.items()},
}


def read_cell(trait: Trait, text: str, unit: str = "") -> Any:
    """Plain data for ``values.read_value``.

    unit: of a number that does not name its own. Raises ValueError in words for the person who wrote the cell.
    """
    text = text.strip()
    if len(text) > LONGEST:
        raise ValueError(f"{trait.name}: a cell of {len(text)} characters; at most {LONGEST}")
    if text.startswith(("[", "{")):
        try:
            return json.loads(text)
        except (ValueError, RecursionError):
            raise ValueError(f"{trait.name}: {shown(text)} begins as JSON and is none") from None
    match trait.kind:
        case "measure":
            return _read_measure(trait, text, unit)
        case "tolerance":
            return _read_tolerance(trait, text, unit)
        case "window":
            return _read_window(trait, text)
        case "class":
            return int(text) if text.isascii() and text.isdigit() else text
        case "choice" if not trait.several:
            return text
        case "choice" | "colour":
            return [word.strip() for word in re.split("[;,]", text) if word.strip()]
        case "hazards" | "listings":
            return [] if text == "none" else [_read_entry(trait, entry) for entry in text.split(";")]
        case _:
            return text


def write_cell(trait: Trait, value: Value) -> str:
    """The value as text that ``read_cell`` reads; without units, which the table of traits gives."""
    plain = plain_value(trait, value)
    match value:
        case Measure(low, typical, high):
            if not isinstance(plain, dict):
                return _figure(typical)
            between = f"{_figure(low)} to {_figure(high)}"
            return f"{between}, typical {_figure(typical)}" if "typical" in plain else between
        case Tolerance():
            return f"{_figure(plain[0])} to {_figure(plain[1])}"
        case Window():
            parts = [f"{plain['from']} to {plain['to']}"]
            parts += [f"strength {plain['strength']}"] if "strength" in plain else []
            parts += [f"colours {', '.join(plain['colours'])}"] if "colours" in plain else []
            return "; ".join(parts)
        case tuple() if trait.kind in ("hazards", "listings"):
            entries = [[str(part) for part in entry.values()] for entry in plain]
            if any(re.search("[;,]", part) for entry in entries for part in entry):
                return json.dumps(plain, ensure_ascii=False)
            return "; ".join(map(", ".join, entries)) or "none"
        case tuple():
            return "; ".join(str(word) for word in value)
        case _:
            return str(plain)


def plain_value(trait: Trait, value: Value) -> Any:
    """What a record would say: the data from which ``values.read_value`` makes this value, in its shortest form."""
    match value:
        case Measure(low, typical, high):
            if read_value(trait, typical) == value:
                return typical
            between = {"low": low, "high": high}
            return between if read_value(trait, between) == value else {**between, "typical": typical}
        case Tolerance(lower, upper):
            return [trait.scale[int(lower)], trait.scale[int(upper)]] if trait.scale else [lower, upper]
        case Window():
            said: dict[str, Any] = {
                "from": _day(value.start.typical, MONTH_START),
                "to": _day(value.end.typical, MONTH_END),
            }
            if trait.interest:
                said["strength"] = value.strength
            if value.colours:
                said["colours"] = list(value.colours)
            return said
        case bool():
            return "yes" if value else "no"
        case int():
            return trait.scale[value]
        case tuple() if trait.kind in ("hazards", "listings"):
            return [entry._asdict() for entry in value if isinstance(entry, Hazard | Listing)]
        case tuple():
            return list(value)
        case _:
            return value


def _read_measure(trait: Trait, text: str, unit: str) -> Any:
    between, _, typical = text.partition(", typical ")
    ends = _BETWEEN_NUMBERS.split(between)
    if len(ends) > 2:
        raise ValueError(f"{trait.name} is 'low to high' or one number, not {shown(text)}")
    unit = _unit_of(ends[-1]) or unit
    numbers = [_number(trait, end, unit) for end in ends]
    if len(ends) == 1:
        return numbers[0]
    read = {"low": numbers[0], "high": numbers[1]}
    return {**read, "typical": _number(trait, typical, unit)} if typical else read


def _read_tolerance(trait: Trait, text: str, unit: str) -> Any:
    if trait.bands and re.fullmatch(r"H[1-7][abc]?|1?[0-9][ab]?", text):
        return text
    ends = (_BETWEEN_WORDS if trait.scale else _BETWEEN_NUMBERS).split(text)
    ends = ends * 2 if len(ends) == 1 else ends
    if len(ends) != 2:
        raise ValueError(f"{trait.name} is two ends such as '5 to 7', not {shown(text)}")
    if trait.scale:
        return [int(end) if end.strip().isdigit() else end.strip() for end in ends]
    unit = _unit_of(ends[1]) or unit
    return [_number(trait, end, unit) for end in ends]


def _read_window(trait: Trait, text: str) -> Any:
    dates, *more = [part.strip() for part in text.split(";")]
    ends = [end.strip() for end in _BETWEEN_WORDS.split(dates)]
    if found := _INTERVAL.fullmatch(dates):
        ends = list(found.groups())
    if len(ends) > 2 or not ends[0]:
        raise ValueError(f"{trait.name} is 'mid May to late June', not {shown(text)}")
    read: dict[str, Any] = {"from": ends[0], "to": ends[-1]}
    for part in more:
        word, _, rest = part.partition(" ")
        if word == "strength" and rest.strip().isdigit():
            read["strength"] = int(rest)
        elif word in ("colours", "colour"):
            read["colours"] = [colour.strip() for colour in rest.split(",") if colour.strip()]
        else:
            raise ValueError(f"{trait.name}: {shown(part)} is neither 'strength 2' nor 'colours white, pale yellow'")
    return read


def _read_entry(trait: Trait, text: str) -> dict[str, Any]:
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 4:
        form = "who, how, part, severity" if trait.kind == "hazards" else "jurisdiction, list, date, covers"
        raise ValueError(f"{trait.name}: {shown(text)} is not '{form}'; several are parted by semicolons")
    if trait.kind == "listings":
        return dict(zip(("jurisdiction", "list", "date", "covers"), parts, strict=True))
    severity = int(parts[3]) if parts[3].isdigit() else parts[3]
    return {"who": parts[0], "how": parts[1], "part": parts[2], "severity": severity}


def _unit_of(text: str) -> str:
    found = _NUMBER.fullmatch(text.strip())
    return found.group(2).strip() if found else ""


def _number(trait: Trait, text: str, unit: str) -> float:
    text = text.strip()
    if _COMMA.match(text):
        raise ValueError(f"{trait.name}: {shown(text)} has a comma; write the number with a point, as 2.5")
    found = _NUMBER.fullmatch(text)
    if found is None:
        raise ValueError(f"{trait.name} is a number in {trait.unit}, not {shown(text)}")
    figure = float(found.group(1).replace("−", "-"))
    own = found.group(2).strip() or unit.strip()
    if own in ("", trait.unit):
        return figure
    if trait.unit == "m":
        try:
            return round(length(f"{found.group(1)} {own}"), 4)
        except ValueError:
            pass
    elif trait.unit == "°C" and own in ("°F", "F"):
        return round((figure - 32) / 1.8, 2)
    elif own in _CALLED.get(trait.unit, {}):
        return round(figure * _CALLED[trait.unit][own], 6)
    raise ValueError(f"{trait.name} is in {trait.unit}, not in {shown(own)}")


def month_and_day(day: float) -> tuple[int, int]:
    """Month and day of the month of a day of the year, which may lie past its end."""
    day = (round(day) - 1) % YEAR + 1
    month = month_of(day)
    return month, day - FIRST_DAYS[month - 1] + 1


def _day(day: float, in_month: int) -> str:
    month, within = month_and_day(day)
    word = {in_month: MONTHS[month - 1], **{n: f"{third} {MONTHS[month - 1]}" for third, n in THIRDS.items()}}
    return word.get(within, f"{month:02d}-{within:02d}")


def _figure(number: Any) -> str:
    return f"{number:.10g}" if isinstance(number, int | float) else str(number)
