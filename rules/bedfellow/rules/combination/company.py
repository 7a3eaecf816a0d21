"""Who gets on with whom on a list: layers, rivals, the vigorous and the slow, maskers, bulbs under shrubs, climbers and hosts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from bedfellow.rules.border.growth import height_share
from bedfellow.rules.combination.seasons import during
from bedfellow.rules.declaration import declarations
from bedfellow.schema.values import YEAR
from bedfellow.traits_db.facts import Fact, TaxonTraits
from bedfellow.traits_db.index import layer

MASKS = 0.8  # of the height of the dying leaves: common practice, as in BULB-01
RISE = 60  # days from the first leaf to full height: common practice
LIKE = 0.2  # heights that differ by less want the same space: common practice
SEEDS = 2  # step of self-seeding from which it comes up among slow plants
DAYS = 15  # between the days on which light is taken
IN_LEAF, BARE, EVERGREEN = 0.20, 0.50, 0.12  # of the light that passes a shrub, where not known: as in border.shade
LEAFY = (105.0, 310.0)  # days on which shrubs are in leaf, where not known


class Rival(NamedTuple):
    """Two plants of one layer that are as high and in leaf at the same time. layer: its name; height: m, of the higher."""

    first: str
    second: str
    layer: str
    height: float


class Vigour(NamedTuple):
    """A plant that will come up among others that stay where they are; by: the root, or seed."""

    strong: str
    weak: tuple[str, ...]
    by: str


class Masker(NamedTuple):
    """A plant and its height in m while another's leaves die."""

    name: str
    height: float


class Collapse(NamedTuple):
    """A plant whose leaves die in view: days of the year, their height in m, and who on the list hides them."""

    name: str
    start: float
    end: float
    height: float
    maskers: tuple[Masker, ...]


class Under(NamedTuple):
    """A bulb under a tree or shrub: share of the light that it has while in leaf, and the share that it wants."""

    bulb: str
    host: str
    share: float
    wanted: float


def layers(plants: Sequence[TaxonTraits]) -> dict[str, list[str]]:
    """Layer to its plants; "" for those whose height is not known."""
    found: dict[str, list[str]] = {}
    for traits in plants:
        found.setdefault(layer_of(traits), []).append(traits.name)
    return found


def layer_of(traits: TaxonTraits) -> str:
    facts: dict[str, Fact] = {n: f for n in ("life_form", "height", "foliage_height") if (f := traits.fact(n))}
    return layer(facts)


def typical(traits: TaxonTraits, trait: str) -> float | None:
    measure = traits.measure(trait)
    return measure.typical if measure else None


def rivals(plants: Sequence[TaxonTraits]) -> Iterator[Rival]:
    """Pairs that want the same space at the same time."""
    for first, second in combinations(plants, 2):
        where, one, other = layer_of(first), typical(first, "height"), typical(second, "height")
        if where not in ("middle", "top") or layer_of(second) != where or not one or not other:
            continue
        if abs(one - other) <= LIKE * max(one, other) and _leafy_together(first, second):
            yield Rival(first.name, second.name, where, max(one, other))


def _leafy_together(first: TaxonTraits, second: TaxonTraits) -> bool:
    days = [day for day in range(1, YEAR, DAYS) if in_leaf(first, day) and in_leaf(second, day)]
    least = min(sum(in_leaf(traits, day) for day in range(1, YEAR, DAYS)) for traits in (first, second))
    return 2 * len(days) >= least > 0


def in_leaf(traits: TaxonTraits, day: float) -> bool:
    """Living leaves on a day of the year; deciduous ones from mid April to early November where no dates are known."""
    if traits.word("foliage") == "evergreen":
        return True
    window = traits.window("in_leaf")
    return during(window, day) if window else LEAFY[0] <= day <= LEAFY[1]


def vigour(plants: Sequence[TaxonTraits]) -> Iterator[Vigour]:
    """Spreaders beside plants two classes slower and not much lower, by the limits of VIGOUR-02, and free seeders."""
    limits = declarations()["VIGOUR-02"].limits()
    for strong in plants:
        rate, seeds, leaves = strong.step("spread_rate"), strong.step("self_seeding"), _leaves(strong)
        slow = [one for one in plants if one is not strong and _is_weak(one, limits["woody_height"])]
        if rate is not None and rate >= limits["fast"]:
            weak = tuple(
                one.name for one in slow
                if rate - (one.step("spread_rate") or 0) >= limits["classes"] and leaves >= limits["height"] * _leaves(one)
            )  # fmt: skip
            if weak:
                yield Vigour(strong.name, weak, "the root")
        if seeds is not None and seeds >= SEEDS and strong.yes("sterile") is not True:
            low = tuple(one.name for one in slow if one.step("spread_rate") == 0 and leaves >= 2 * _leaves(one) > 0)
            if low:
                yield Vigour(strong.name, low, "seed")


def _is_weak(traits: TaxonTraits, woody_height: float) -> bool:
    form, height = traits.word("life_form"), typical(traits, "height") or 0.0
    woody = form in ("shrub", "bamboo", "climber") and height > woody_height
    return not woody and form not in ("tree", "bulb", "annual") and traits.step("spread_rate") is not None


def _leaves(traits: TaxonTraits) -> float:
    return typical(traits, "foliage_height") or typical(traits, "height") or 0.0


def collapses(plants: Sequence[TaxonTraits]) -> Iterator[Collapse]:
    """Every plant whose leaves die high enough to be noticed, by the limits of BULB-01, with its maskers on the list."""
    limits = declarations()["BULB-01"].limits()
    for traits in plants:
        window, height = traits.window("die_back"), typical(traits, "leaf_height_in_decline")
        if window is None or height is None or height <= limits["low_leaves"] or traits.step("die_back_tidiness") == 1:
            continue
        start, end = window.start.typical, window.end.typical
        middle = (start + end) / 2
        month = next(number for number in range(1, 13) if (middle - 1) % YEAR < 30.5 * number)
        if not limits["from"] <= month <= limits["to"]:
            continue
        hiding = tuple(
            Masker(one.name, round(high, 2))
            for one in plants
            if one is not traits
            and (typical(one, "crown_base") or 0.0) < height
            and (high := height_on(one, middle)) >= MASKS * height
        )
        yield Collapse(traits.name, start, end, height, hiding)


def height_on(traits: TaxonTraits, day: float) -> float:
    """m of leaves on a day; 0 for bulbs, climbers, trees, and what is not in leaf."""
    form = traits.word("life_form")
    if form in ("bulb", "climber", "tree") or traits.yes("see_through") or not in_leaf(traits, day % YEAR):
        return 0.0
    window = traits.window("in_leaf")
    if traits.word("foliage") == "evergreen" or form in ("shrub", "subshrub", "bamboo") or window is None:
        return _leaves(traits)
    start, end = window.start.typical, window.end.typical
    return _leaves(traits) * height_share(day, start, min(start + RISE, end), end)


def under_shrubs(plants: Sequence[TaxonTraits]) -> Iterator[Under]:
    """Each spring bulb under each tree and shrub: the light from leaf-up to decline, by the limits of LIGHT-04."""
    limits = declarations()["LIGHT-04"].limits()
    for bulb in plants:
        leaf, decline = bulb.window("in_leaf"), bulb.window("die_back")
        if bulb.word("life_form") != "bulb" or leaf is None or leaf.start.typical > 200:
            continue
        ellenberg, words = typical(bulb, "light_ellenberg"), bulb.words("light")
        kind = (
            "woodland"
            if "full shade" in words or (ellenberg or 9) <= 5
            else "part_shade"
            if "part shade" in words
            else "sun"
        )
        days = range(
            round(leaf.start.typical), round((decline or leaf).start.typical if decline else leaf.end.typical) + 1, DAYS
        )
        for host in plants:
            if host.word("life_form") in ("tree", "shrub") and len(days):
                share = sum(_passes(host, day % YEAR) for day in days) / len(days)
                yield Under(bulb.name, host.name, round(share, 2), limits[kind])


def _passes(host: TaxonTraits, day: float) -> float:
    leafy, evergreen = in_leaf(host, day), host.word("foliage") == "evergreen"
    known = typical(host, "transmittance_in_leaf" if leafy else "transmittance_bare")
    return known if known is not None else EVERGREEN if evergreen else IN_LEAF if leafy else BARE


def hosts(plants: Sequence[TaxonTraits]) -> dict[str, tuple[str, ...]]:
    """Each climber to the trees and shrubs on the list that are as tall, and that it does not keep from the sun all year."""
    found = {}
    for climber in plants:
        height = typical(climber, "height")
        if climber.word("life_form") == "climber" and height:
            evergreen = climber.word("foliage") == "evergreen"
            found[climber.name] = tuple(
                host.name for host in plants
                if host.word("life_form") in ("tree", "shrub") and (typical(host, "height") or 0.0) >= height
                and not (evergreen and set(host.words("light")) == {"full sun"})
            )  # fmt: skip
    return found
