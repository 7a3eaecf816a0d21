"""COLOUR-01, -03, -04 and -05: colours off the palette, sudden changes, leaves that clash, and leaves all alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.finding import UNRECOGNISED, Finding, Unjudged
from bedfellow.rules.words import listed, month
from bedfellow.schema.colours import difference, lab, names
from bedfellow.schema.geometry import area

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON, HALF, CLEAR = 3, 0.5, 2
GROWING = range(3, 11)  # March to October in the north
# Meteorological seasons, as months of the north.
MONTHS: Mapping[str, tuple[int, ...]] = {
    "spring": (3, 4, 5), "summer": (6, 7, 8), "autumn": (9, 10, 11), "fall": (9, 10, 11), "winter": (12, 1, 2),
}  # fmt: skip
QUIET = ("white", "green", "gray", "black")  # hues that go with everything
# Which hues the eye takes together.
GROUPS = {"red": "warm", "orange": "warm", "yellow": "warm", "brown": "warm", "olive": "warm", "pink": "pink", "blue": "cool",
          "violet": "cool", "purple": "cool"}  # fmt: skip
CLASHES = (("yellow", "pink"),)  # leaf, flower
CELL = 0.25  # m of frontage


def hue(colour: str) -> str:
    """The hue of an ISCC-NBS name: its last word."""
    return colour.split()[-1]


def off_palette(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Flowers whose colour is not of the season's palette: one finding a season."""
    brief = border.plan.brief
    for season, words in (brief.palette if brief else {}).items():
        months = [border.month_here(number) for number in MONTHS.get(season.lower(), ())]
        strange = [word for word in words if not _is_colour(word)]
        if not months or strange:
            yield Unjudged(
                "", (f"the palette of {season}: {listed(strange) or 'no season of the year'}",), ("brief", "palette")
            )
            continue
        off = []
        for planting in border.plantings:
            window = border.window(planting, "flower")
            if window is None:
                if not planting.flowerless:
                    yield Unjudged(planting.key, (border.wanting(planting, "flower"),), planting.path)
                continue
            span = window.start.typical, window.end.typical
            loud = [colour for colour in window.colours if hue(colour) not in QUIET]
            if len(loud) < len(window.colours) or window.strength < CLEAR or not loud:
                continue
            shown = any(share_of_month(span, number) >= HALF for number in months)
            if shown and not any(_matches(colour, word, limits["within"]) for colour in loud for word in words):
                off.append((loud[0], planting))
        if off:
            yield Finding(
                "warning", tuple(sorted(planting.key for _, planting in off)), ("brief", "palette"),
                {"season": season, "palette": listed(words), "plants": listed([f"{p.title} with {colour}" for colour, p in off])},
                tuple((planting.path, planting.key) for _, planting in off), apart=(season,),
            )  # fmt: skip


def _is_colour(word: str) -> bool:
    return word.startswith("#") or word in names() or word in GROUPS or word in QUIET


def _matches(colour: str, word: str, within: float) -> bool:
    """A flower's colour is the word's, has its hue, or is as near to it as asked."""
    if word in colour.split():
        return True
    return (word.startswith("#") or word in names()) and difference(lab(colour), lab(word)) <= within


def abrupt(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """From one month to the next the hue changes along most of the front: one finding names the months."""
    left, right = border.frontage()
    if right - left <= 0:
        return
    months = [border.month_here(number) for number in GROWING]
    if border.strangers:
        yield UNRECOGNISED
        return
    cells = max(1, round((right - left) / CELL))
    runs = {
        planting.number: _cells(border, planting, left, (right - left) / cells, cells) for planting in border.of_the_bed
    }
    along = {number: _hues(border, number, runs, cells) for number in months}
    turns = {}
    for before, after in pairwise(months):
        changed = [a != b and "pink" not in (a, b) for a, b in zip(along[before], along[after], strict=True) if a and b]
        share = round(sum(changed) / len(along[before]), 2)
        if share > limits["share"]:
            turns[before, after] = share
    if turns:
        yield Finding(
            "note", (), ("plants",),
            {"turns": listed([f"{month(before)} to {month(after)}" for before, after in turns]), "share": max(turns.values())},
        )  # fmt: skip


def _cells(border: Border, planting: Planting, left: float, width: float, cells: int) -> frozenset[int]:
    """Numbers of the cells of the front whose middles a planting stands before."""
    size = border.size(planting, SEASON)
    radius = size.spread.typical / 2 if size else 0.0
    return frozenset(
        index
        for x, _ in planting.points
        for index in range(
            max(0, ceil((x - radius - left) / width - 0.5)), min(cells, floor((x + radius - left) / width + 0.5))
        )
    )


def _hues(border: Border, number: int, runs: Mapping[int, frozenset[int]], cells: int) -> list[str]:
    """The group of hues that is strongest in each cell of the front in a month; empty where nothing loud flowers."""
    strongest: list[tuple[int, str]] = [(0, "")] * cells
    for planting in border.of_the_bed:
        window = border.window(planting, "flower")
        if window is None or not window.colours or window.strength < CLEAR:
            continue
        if share_of_month((window.start.typical, window.end.typical), number) < HALF:
            continue
        for index in runs[planting.number]:
            if window.strength > strongest[index][0]:
                strongest[index] = (window.strength, GROUPS.get(hue(window.colours[0]), ""))
    return [group for _, group in strongest]


def leaf_clash(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Coloured leaves on much of the ground beside flowers that clash with them: one finding a leaf."""
    ground = sum(area(bed.outline) for bed in border.plan.borders)
    brief = border.plan.brief
    pairs = [
        *CLASHES,
        *(pair for one, other in (brief.avoid if brief else ()) for pair in ((one, other), (other, one))),
    ]
    for leaf in border.plantings:
        colours = leaf.traits.words("leaf_colour")
        if not colours or ground <= 0 or hue(colours[0]) in QUIET:
            continue
        share = round(border.ground_taken(leaf, SEASON) / ground, 2)
        if share <= limits["share"]:
            continue
        against = []
        for other in border.plantings:
            window = border.window(other, "flower")
            if window is None or other.number == leaf.number or not window.colours or window.strength < CLEAR:
                continue
            day = (window.start.typical + window.end.typical) / 2
            clash = any(_has(colours[0], one) and _has(window.colours[0], flower) for one, flower in pairs)
            if clash and leaf.distance_to(other) <= limits["distance"] and border.in_leaf(leaf, day):
                against.append(other)
        if against:
            yield Finding(
                "note", tuple(sorted([leaf.key, *(other.key for other in against)])), leaf.path,
                {"leaf": leaf.title, "colour": colours[0], "share": share,
                 "flowers": listed([other.title for other in against])},
                tuple((other.path, other.key) for other in against),
            )  # fmt: skip


def _has(colour: str, word: str) -> bool:
    return word == colour or word == hue(colour)


def all_alike(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Neighbours that all have leaves of one size and form: the largest such group is told."""
    leaves: dict[tuple[int, str], list[Planting]] = {}
    for planting in border.plantings:
        size, form = planting.traits.step("leaf_size"), planting.traits.word("leaf_form")
        if size is None or form is None:
            yield Unjudged(planting.key, ("leaf_size" if size is None else "leaf_form",), planting.path)
        elif planting.points and not planting.line.mix and planting.life_form != "bulb":
            leaves.setdefault((size, form), []).append(planting)
    largest: list[Planting] = []
    for alike in leaves.values():
        left = list(alike)
        while left:
            group = [left.pop()]
            for member in group:  # grows while it is walked through
                near = [p for p in left if _gap(border, member, p) <= limits["within"]]
                group += near
                left = [p for p in left if p not in near]
            if _kinds(group) > _kinds(largest):
                largest = group
    if _kinds(largest) >= limits["kinds"]:
        largest.sort(key=lambda planting: planting.number)
        yield Finding(
            "note", tuple(sorted(planting.key for planting in largest)), largest[0].path,
            {"plants": listed([planting.title for planting in largest]), "form": largest[0].traits.word("leaf_form") or "",
             "within": limits["within"]},
            tuple((planting.path, planting.key) for planting in largest[1:]),
        )  # fmt: skip


def _kinds(plantings: list[Planting]) -> int:
    """Species among them, with their cultivars."""
    return len({tuple(planting.traits.name.split()[:2]) for planting in plantings})


def _gap(border: Border, one: Planting, other: Planting) -> float:
    """m between the edges of two plantings at their nearest members."""
    sizes = [border.size(planting, SEASON) for planting in (one, other)]
    return one.distance_to(other) - sum(size.spread.typical / 2 for size in sizes if size)
