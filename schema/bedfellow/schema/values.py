"""Kinds of value that a trait can have, and how each is read from a record or a plan.

Measure     low, typical, high      nine plants in ten lie between low and high
Tolerance   lower, upper            limits of what a plant bears; no uncertainty inside
Window      start, end              days of the year, each early / typical / late
int         class                   a step of a scale
str | tuple choice, colour          words of the table
bool        yes-no
Hazard, Listing                     tuples of them; empty is "none known"
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

from bedfellow.schema.bands import band
from bedfellow.schema.traits import Trait
from bedfellow.schema.units import LARGEST

YEAR = 365
GROUND, TOP = 0.35, 1.8  # m: leaves up to the one are ground cover, from the other on the top layer; common practice
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
FIRST_DAYS = (1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366)

# Common practice: where in a month a date lies that is published by the month or by a third of it.
THIRDS = {"early": 5, "mid": 15, "late": 25}
MONTH_START, MONTH_END = 8, 23
# Common practice: what is not known about a date. Days for the start, a share for the length.
START_SLACK, LENGTH_SLACK = 14, 0.25


class Measure(NamedTuple):
    """low, typical, high in the trait's unit."""

    low: float
    typical: float
    high: float


class Tolerance(NamedTuple):
    """Limits of what a plant bears, in the trait's unit or in steps of its scale."""

    lower: float
    upper: float


class Day(NamedTuple):
    """A date that varies: days of the year from 1, typical between early and late; may run past 365."""

    early: float
    typical: float
    late: float


@dataclass(frozen=True, slots=True)
class Window:
    """From start to end, days of the year; the end is counted on past New Year, so it is never before the start.

    strength: 1 slight to 3 strong, colours: ISCC-NBS names (both for windows of interest);
    region and latitude (degrees): where the dates were observed.
    """

    start: Day
    end: Day
    strength: int = 2
    colours: tuple[str, ...] = ()
    region: str = "europe"
    latitude: float = 51.5

    @property
    def length(self) -> float:
        """Typical length in days."""
        return self.end.typical - self.start.typical


class Hazard(NamedTuple):
    """Who may be harmed, how, by what part, and how badly (1 minor to 3 severe)."""

    who: str
    how: str
    part: str
    severity: int


class Listing(NamedTuple):
    """A list of invasive plants: jurisdiction, source key, its date, and what it covers (taxon, cultivars, hybrids)."""

    jurisdiction: str
    list: str
    date: str
    covers: str


Value = Measure | Tolerance | Window | int | str | bool | tuple[str, ...] | tuple[Hazard, ...] | tuple[Listing, ...]

WHO = ("people", "cats", "dogs", "horses", "livestock")
HOW = ("eaten", "skin", "sap and sun", "spines", "breathed")
COVERS = ("taxon", "cultivars", "hybrids", "taxon and cultivars", "taxon, cultivars and hybrids")


def read_value(trait: Trait, raw: Any, climate: dict[str, Any] | None = None) -> Value:
    """The typed value of a trait from plain data.

    Raises ValueError, in words for the person who wrote it, where the data does not fit the trait.
    """
    match trait.kind:
        case "measure":
            return _measure(trait, raw)
        case "tolerance":
            return _tolerance(trait, raw)
        case "window":
            return _window(trait, raw, climate or {})
        case "class":
            return _step(trait, raw)
        case "choice":
            return _choice(trait, raw)
        case "yes-no":
            if raw in ("yes", True):
                return True
            if raw in ("no", False):
                return False
            raise ValueError(f"{trait.name} is yes or no, not {raw!r}; leave it out when unknown")
        case "colour":
            return _colours(trait.name, raw)
        case "hazards":
            return tuple(_hazard(entry) for entry in _list(trait.name, raw))
        case "listings":
            return tuple(_listing(entry) for entry in _list(trait.name, raw))
        case other:
            raise ValueError(f"{trait.name} has the unknown kind {other!r}")


def _measure(trait: Trait, raw: Any) -> Measure:
    for figure in raw.values() if isinstance(raw, dict) else (raw,):
        if _is_number(figure) and not abs(figure) <= LARGEST:
            raise ValueError(f"{trait.name}: {figure!r} {trait.unit} is too large for any plant")
    if _is_number(raw):
        return Measure(*_round(raw * (1 - trait.widening), raw, raw * (1 + trait.widening)))
    if (
        isinstance(raw, dict)
        and set(raw) <= {"low", "typical", "high"}
        and {"low", "high"} <= set(raw)
        and all(map(_is_number, raw.values()))
    ):
        typical = raw.get("typical", (raw["low"] + raw["high"]) / 2)
        if not raw["low"] <= typical <= raw["high"]:
            raise ValueError(f"{trait.name}: low {raw['low']}, typical {typical}, high {raw['high']} are out of order")
        return Measure(*_round(raw["low"], typical, raw["high"]))
    raise ValueError(f"{trait.name} is a number in {trait.unit} or {{low, typical, high}}, not {raw!r}")


def _tolerance(trait: Trait, raw: Any) -> Tolerance:
    if trait.bands and isinstance(raw, str):
        limits = band(raw)
        if limits is None:
            raise ValueError(f"{trait.name}: {raw!r} is neither a UK hardiness rating (H5) nor a USDA zone (7a)")
        return Tolerance(*limits)
    if isinstance(raw, dict) and set(raw) == {"from", "to"}:
        raw = [raw["from"], raw["to"]]
    if not isinstance(raw, list) or len(raw) != 2:
        raise ValueError(f"{trait.name} is [from, to], not {raw!r}")
    lower, upper = (_step(trait, end) for end in raw) if trait.scale else raw
    if not _is_number(lower) or not _is_number(upper):
        raise ValueError(f"{trait.name} is [from, to] in {trait.unit}, not {raw!r}")
    if lower > upper:
        raise ValueError(f"{trait.name}: from {raw[0]} to {raw[1]} is the wrong way round")
    return Tolerance(lower, upper)


def _window(trait: Trait, raw: Any, climate: dict[str, Any]) -> Window:
    allowed = {"from", "to"} | ({"strength", "colours"} if trait.interest else set())
    if not isinstance(raw, dict) or not {"from", "to"} <= set(raw) <= allowed:
        raise ValueError(f"{trait.name} is {{{', '.join(sorted(allowed))}}}, not {raw!r}")
    start = day_of_year(raw["from"], MONTH_START)
    end = day_of_year(raw["to"], MONTH_END)
    if end < start:
        end += YEAR
    length = end - start
    strength = raw.get("strength", 2)
    if strength not in (1, 2, 3):
        raise ValueError(f"{trait.name}: strength is 1, 2 or 3, not {strength!r}")
    return Window(
        Day(start - START_SLACK, start, start + START_SLACK),
        Day(start + length * (1 - LENGTH_SLACK), end, start + length * (1 + LENGTH_SLACK)),
        strength,
        _colours(trait.name, raw.get("colours", [])),
        climate.get("region", "europe"),
        climate.get("latitude", 51.5),
    )


def day_of_year(text: Any, day_in_month: int = 15) -> int:
    """Day of the year (1 to 365) of ``05-20``, ``mid May`` or ``May`` (then day_in_month)."""
    words = str(text).split()
    if len(words) == 1 and len(words[0]) == 5 and words[0][2] == "-" and words[0].replace("-", "").isdigit():
        month, day = int(words[0][:2]), int(words[0][3:])
        if 1 <= month <= 12 and 1 <= day <= FIRST_DAYS[month] - FIRST_DAYS[month - 1]:
            return FIRST_DAYS[month - 1] + day - 1
    if words and words[-1] in MONTHS and (len(words) == 1 or (len(words) == 2 and words[0] in THIRDS)):
        return FIRST_DAYS[MONTHS.index(words[-1])] + (THIRDS[words[0]] if len(words) == 2 else day_in_month) - 1
    raise ValueError(f"{text!r} is no day of the year: write 05-20, mid May or May")


def middle_of(month: int) -> int:
    """Day of the year in the middle of a month (1 to 12), on which a month is judged as a whole."""
    return FIRST_DAYS[month - 1] + 14


def layer_of(height: float) -> str:
    """``ground``, ``middle`` or ``top``: the layer of leaves that reach so many metres up."""
    return "ground" if height <= GROUND else "middle" if height < TOP else "top"


def month_of(day: float) -> int:
    """Month, 1 to 12, of a day of the year."""
    return next(number for number in range(1, 13) if day < FIRST_DAYS[number])


def _step(trait: Trait, raw: Any) -> int:
    steps = trait.scale
    if not isinstance(raw, bool) and isinstance(raw, int) and raw in steps:
        return raw
    for step, word in steps.items():
        if isinstance(raw, str) and raw == word:
            return step
    raise ValueError(
        f"{trait.name}: {raw!r} is not a step; the steps are {', '.join(f'{n} {w}' for n, w in steps.items())}"
    )


def _choice(trait: Trait, raw: Any) -> str | tuple[str, ...]:
    words = raw if isinstance(raw, list) else [raw]
    for word in words:
        if word not in trait.options:
            raise ValueError(f"{trait.name}: {word!r} is not among {', '.join(trait.options)}")
    if trait.several:
        return tuple(words)
    if isinstance(raw, list):
        raise ValueError(f"{trait.name} takes one word, not {raw!r}")
    return str(raw)


def _hazard(raw: Any) -> Hazard:
    if not isinstance(raw, dict) or not {"who", "how", "severity"} <= set(raw) <= {"who", "how", "part", "severity"}:
        raise ValueError(f"a hazard is {{who, how, part, severity}}, not {raw!r}")
    if raw["who"] not in WHO or raw["how"] not in HOW or raw["severity"] not in (1, 2, 3):
        raise ValueError(f"hazard {raw!r}: who is one of {WHO}, how one of {HOW}, severity 1 to 3")
    return Hazard(raw["who"], raw["how"], raw.get("part", "all parts"), raw["severity"])


def _listing(raw: Any) -> Listing:
    if (
        not isinstance(raw, dict)
        or set(raw) != {"jurisdiction", "list", "date", "covers"}
        or raw["covers"] not in COVERS
    ):
        raise ValueError(f"a listing is {{jurisdiction, list, date, covers}} with covers one of {COVERS}, not {raw!r}")
    return Listing(str(raw["jurisdiction"]), str(raw["list"]), str(raw["date"]), raw["covers"])


def _words(name: str, raw: Any) -> tuple[str, ...]:
    words = [raw] if isinstance(raw, str) else raw
    if not isinstance(words, list) or not all(isinstance(word, str) for word in words):
        raise ValueError(f"{name} is a word or a list of words, not {raw!r}")
    return tuple(words)


def _colours(name: str, raw: Any) -> tuple[str, ...]:
    """Names of the ISCC-NBS system."""
    words = _words(name, raw)
    if words:
        from bedfellow.schema.colours import lab

        for word in words:
            lab(word)
    return words


def _list(name: str, raw: Any) -> list[Any]:
    if not isinstance(raw, list):
        raise ValueError(f"{name} is a list, not {raw!r}")
    return raw


def _is_number(raw: Any) -> bool:
    return isinstance(raw, int | float) and not isinstance(raw, bool)


def _round(*numbers: float) -> tuple[float, ...]:
    return tuple(round(number, 3) for number in numbers)


# ---- plain data, for the compiled store


def pack(value: Value) -> Any:
    """The value as plain data that names its kind; ``unpack`` gives it back."""
    match value:
        case Measure():
            return ["m", *value]
        case Tolerance():
            return ["t", *value]
        case Window(start, end, strength, colours, region, latitude):
            return ["w", start, end, strength, colours, region, latitude]
        case tuple() if value and isinstance(value[0], Hazard):
            return ["h", *value]
        case tuple() if value and isinstance(value[0], Listing):
            return ["l", *value]
        case tuple():
            return ["s", *value]
        case _:
            return value


def unpack(data: Any) -> Value:
    """The value that ``pack`` made plain."""
    if not isinstance(data, list):
        return data  # type: ignore[no-any-return]
    match data[0]:
        case "m":
            return Measure(*data[1:])
        case "t":
            return Tolerance(*data[1:])
        case "w":
            _, start, end, strength, colours, region, latitude = data
            return Window(Day(*start), Day(*end), strength, tuple(colours), region, latitude)
        case "h":
            return tuple(Hazard(*entry) for entry in data[1:])
        case "l":
            return tuple(Listing(*entry) for entry in data[1:])
        case _:
            return tuple(data[1:])
