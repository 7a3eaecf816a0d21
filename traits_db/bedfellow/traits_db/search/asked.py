"""What a plant is asked for, in the words of a table of traits: ``height 60 cm to 1.2 m``, ``flower June to August``.

measure     1 m (about) | 60 cm to 1.2 m | up to 60 cm | at least 2 m
tolerance   7.4 | 6 to 7.5 (all of it is borne) | moist to wet | minimum temperature -9, H5 or 7a (as cold, or colder)
window      June | June to August; colours pale yellow; strength 3 (some of it; a colour as near as `within`)
class       fair | fair to good | at least fair | up to little         choice    evergreen or semi-evergreen
yes-no      yes | no       colour    deep red or dark purple           hazards   none | dogs | dogs eaten       listings  none | EU

``not`` before it leaves out the plants that are so; a plant of which it is not known is left out too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from math import inf

from bedfellow.schema.bands import band
from bedfellow.schema.cells import read_cell
from bedfellow.schema.colours import difference, lab, names
from bedfellow.schema.traits import Trait, trait_table
from bedfellow.schema.units import shown
from bedfellow.schema.values import HOW, WHO, YEAR, Tolerance, Window, read_value
from bedfellow.traits_db.index import Condition

NEAR = 20.0  # CIEDE2000: as far as a colour may lie from the one asked for; common practice
ABOUT = 0.25  # a measure asked for as one figure may lie so far from it, as a share; common practice
_LIMIT = re.compile(r"(up to|at most|at least|from)\s+(?!.*\sto\s)(.*)", re.DOTALL)
_OR = re.compile(r"\s+or\s+|\s*[;,]\s*")


@dataclass(frozen=True, slots=True)
class Asked:
    """A trait and what its value shall be.

    text: as it was asked. lower, upper: in the trait's unit or steps of its scale, for a window days of the year (upper
    past 365 where it crosses New Year). words: any of these. strength: of a window of interest, at least.
    colours: asked for by name, with `within` as far as another may lie from them (CIEDE2000).
    """

    text: str
    trait: Trait
    lower: float = -inf
    upper: float = inf
    words: tuple[str, ...] = ()
    strength: int = 1
    colours: tuple[str, ...] = ()
    within: float = NEAR
    refused: bool = False

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """What a store is searched by; all of them must be met."""
        words, lower, upper = self.words, self.lower, self.upper
        if self.colours:
            words = tuple(name for name in names() if nearness(self.colours, (name,), self.within))
        if self.trait.kind == "window" and upper > YEAR:
            upper -= YEAR
        if self.trait.kind == "tolerance" and not self.trait.bands and not self.refused:
            # All of it is borne: both its ends lie inside.
            return tuple(Condition(self.trait.name, end, end) for end in dict.fromkeys((lower, upper)))
        return (Condition(self.trait.name, lower, upper, words, self.refused),)


def nearness(wanted: tuple[str, ...], colours: tuple[str, ...], within: float = NEAR) -> float:
    """1 for the same colour, down to a half for one just near enough, 0 for all others: the best of all pairs."""
    least = min((difference(lab(a), lab(b)) for a in wanted for b in colours), default=inf)
    return 1 - least / (2 * within) if least <= within else 0.0


def asked(text: str, within: float = NEAR) -> Asked:
    """What a sentence asks for. Raises ValueError in words for the person who wrote it."""
    words = " ".join(text.split())
    refused = words.startswith("not ")
    wrong: ValueError | None = None
    for trait, rest in _readings(words.removeprefix("not ")):
        try:
            read = _READ.get(trait.kind, _of_words)(words, trait, rest)
        except ValueError as error:
            wrong = wrong or error
        else:
            return replace(read, within=within, refused=refused)
    raise wrong or ValueError(_no_trait(words))


def _readings(text: str) -> Iterator[tuple[Trait, str]]:
    """The traits that a sentence may begin with, the longest name first, and the rest of it: 'height 10 m' is of height."""
    table = trait_table().traits
    parts = text.replace(":", " ", 1).split()
    for length in range(min(len(parts), 5), 0, -1):
        name, rest = "_".join(parts[:length]).lower(), " ".join(parts[length:])
        if name in table and rest:
            yield table[name], rest


def _no_trait(text: str) -> str:
    table = trait_table().traits
    words = text.removeprefix("not ").lower().split()
    if (name := "_".join(words)) in table:
        return f"{shown(text)} does not say what it shall be; {table[name].about}"
    near = [*get_close_matches("_".join(words[:2]), table, 2), *get_close_matches(words[0] if words else "", table, 2)]
    near += [name for name in table if words and words[0] in name.split("_")][:3]
    meant = " or ".join(f"'{name.replace('_', ' ')}'" for name in dict.fromkeys(near))
    return f"{shown(text)} begins with no trait" + (f"; is {meant} meant?" if meant else "")


def _measure(text: str, trait: Trait, rest: str) -> Asked:
    if limit := _LIMIT.fullmatch(rest):
        figure = _number(trait, limit.group(2))
        return (
            Asked(text, trait, upper=figure) if limit.group(1) in ("up to", "at most") else Asked(text, trait, figure)
        )
    read = read_cell(trait, rest)
    if isinstance(read, dict):
        return Asked(text, trait, *_in_order(trait, read["low"], read["high"]))
    return Asked(text, trait, read * (1 - ABOUT), read * (1 + ABOUT))


def _number(trait: Trait, text: str) -> float:
    read = read_cell(trait, text)
    if isinstance(read, dict):
        raise ValueError(f"{trait.name}: {shown(text)} is not one figure")
    return float(read)


def _tolerance(text: str, trait: Trait, rest: str) -> Asked:
    if trait.bands:
        limits = band(rest)
        coldest = limits[0] if limits else read_cell(trait, rest)[0]
        return Asked(text, trait, upper=float(coldest))
    value = read_value(trait, read_cell(trait, rest))
    assert isinstance(value, Tolerance)
    return Asked(text, trait, value.lower, value.upper)


def _window(text: str, trait: Trait, rest: str) -> Asked:
    cell = read_cell(trait, rest)
    strength = cell.pop("strength", 1)
    value = read_value(trait, cell)
    assert isinstance(value, Window)
    return Asked(text, trait, value.start.typical, value.end.typical, strength=strength, colours=value.colours)


def _class(text: str, trait: Trait, rest: str) -> Asked:
    limit = _LIMIT.fullmatch(rest)
    ends = [limit.group(2)] if limit else re.split(r"\s+to\s+", rest)
    if len(ends) > 2:
        raise ValueError(f"{trait.name}: {shown(rest)} has more than two ends")
    steps = [read_value(trait, read_cell(trait, end)) for end in ends]
    assert all(isinstance(step, int) for step in steps)
    lower, upper = float(steps[0]), float(steps[-1])  # type: ignore[arg-type]
    if limit:
        return Asked(text, trait, upper=upper) if limit.group(1) in ("up to", "at most") else Asked(text, trait, lower)
    return Asked(text, trait, *_in_order(trait, lower, upper))


def _in_order(trait: Trait, lower: float, upper: float) -> tuple[float, float]:
    if lower > upper:
        raise ValueError(f"{trait.name}: {lower:g} to {upper:g} is the wrong way round")
    return lower, upper


def _yes_no(text: str, trait: Trait, rest: str) -> Asked:
    value = float(bool(read_value(trait, rest)))
    return Asked(text, trait, value, value)


def _of_words(text: str, trait: Trait, rest: str) -> Asked:
    """A choice, hazards or listings."""
    words = tuple(_OR.split(rest))
    match trait.kind:
        case "choice":
            for word in words:
                read_value(trait, [word] if trait.several else word)
        case "hazards":
            known = {f"{who} {how}" for who in WHO for how in HOW}
            found = [[name for name in ("none", *sorted(known)) if f"{name} ".startswith(f"{word} ")] for word in words]
            for word, some in zip(words, found, strict=True):
                if not some:
                    raise ValueError(
                        f"{shown(word)} is no hazard; write none, or who ({', '.join(WHO)}) and how ({', '.join(HOW)})"
                    )
            words = tuple(name for some in found for name in some)
    return Asked(text, trait, words=words)


def _colour(text: str, trait: Trait, rest: str) -> Asked:
    colours = tuple(_OR.split(rest))
    for colour in colours:
        lab(colour)
    return Asked(text, trait, colours=colours)


_READ = {
    "measure": _measure, "tolerance": _tolerance, "window": _window, "class": _class, "yes-no": _yes_no, "colour": _colour,
}  # fmt: skip
