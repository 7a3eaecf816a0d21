"""What is to be said of a list of plants, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import filled
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.table import share, table
from bedfellow.rules.combination.combination import NEEDS_A_PLAN
from bedfellow.rules.combination.ratio import AREAS
from bedfellow.rules.combination.seasons import WINTER, date
from bedfellow.rules.words import capital, listed, metres, month, months
from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.search.asked import NEAR

if TYPE_CHECKING:
    from bedfellow.rules.combination.combination import Combination
    from bedfellow.schema.values import Measure
    from bedfellow.traits_db.facts import TaxonTraits

MOST_PAIRS = 12
LIKELY = 0.3  # chance from which a pair is told in words


def in_words(found: Combination, names: Mapping[str, str], unknown: Mapping[str, Sequence[str]], country: str) -> str:
    """Heading by heading. names: written otherwise to the accepted name; unknown: written so to the nearest names.

    country: to which they are delivered, whose lists of invasive plants alone are told; all where it is empty.
    """
    sections = (
        ("Names", _names(names, unknown)), ("The site that all bear", _site(found)), ("Layers and company", _company(found)),
        ("Through the year", _year(found)), ("Leaves that die in view", _dying(found)), ("Bulbs under shrubs", _under(found)),
        ("Climbers", _climbers(found)), ("In flower together", _flowers(found)), ("What would complete it", _offers(found)),
        ("Cautions", _cautions(found, country)), ("Delivery", _delivery(found)),
    )  # fmt: skip
    parts = []
    for heading, said in sections:
        lines = "".join(filled(f"  {text}", "    ") for text in said)
        if lines:
            parts.append(f"{heading}\n{lines}")
    parts.append(f"How long, and how many\n\n{_numbers(found)}")
    parts.append(filled(f"It takes a plan to judge: {'; '.join(NEEDS_A_PLAN)}."))
    return "\n".join([*parts, filled(CAUTION)])


def _names(names: Mapping[str, str], unknown: Mapping[str, Sequence[str]]) -> Iterator[str]:
    for name, near in unknown.items():
        yield f"No plant is called '{name}'" + (f"; nearest: {', '.join(near)}." if near else ".")
    for name, accepted in names.items():
        yield f"'{name}' is {accepted}."


def _site(found: Combination) -> Iterator[str]:
    if found.leave_out:
        yield f"There is none for all; without {listed(found.leave_out)} there is, and no fewer will do."
    site = found.site
    if site is not None:
        said = [" or ".join(site.light), f"pH {_span(site.ph)}"]
        said += [
            f"{name} {_steps(name, ends)}"
            for name, ends in (("moisture", site.moisture), ("fertility", site.fertility))
        ]
        said += [f"winters to {site.coldest[0]:g} °C ({site.coldest[1]})"] if site.coldest else []
        said += [f"wind: {_word('wind', site.wind[0])} ({site.wind[1]})"] if site.wind else []
        yield "; ".join(said) + "."
    for name, factors in found.unknown.items():
        yield f"Not known of {name}: {listed(factors)}."


def _company(found: Combination) -> Iterator[str]:
    for where in ("top", "middle", "ground", "climbers", "bulbs"):
        if some := found.layers.get(where):
            yield f"{where.capitalize()}: {listed(some)}."
    missing = [where for where in ("top", "middle", "ground") if not found.layers.get(where)]
    if missing:
        yield f"Missing: {listed(missing)}."
    for rival in found.rivals[:MOST_PAIRS]:
        yield f"{rival.first} and {rival.second} want the same space at the same time: both about {metres(rival.height)} high."
    if len(found.rivals) > MOST_PAIRS:
        yield f"{len(found.rivals) - MOST_PAIRS} more pairs want the same space."
    for one in found.vigour:
        how = "spreads at the root and will be among" if one.by == "the root" else "seeds itself and will come up among"
        yield f"{one.strong} {how} {listed(one.weak)}."


def _year(found: Combination) -> Iterator[str]:
    empty = [number for number, some in found.interest.items() if not some]
    single = {number: some[0] for number, some in found.interest.items() if len(some) == 1}
    for number, some in found.interest.items():
        if some:
            shown = f"{listed(some[:4])} and {len(some) - 4} more" if len(some) > 5 else listed(some)
            yield f"{month(number)}: {shown}"
    if empty:
        yield f"Nothing to look at in {months(empty)}."
    if single:
        yield f"One plant alone in {months(list(single))}."
    winter = [number for number in WINTER if found.interest[number]]
    yield f"Winter: something in {len(winter)} of 3 months; {found.evergreen:.0%} of the plants are evergreen."


def _dying(found: Combination) -> Iterator[str]:
    for one in found.collapses:
        when = f"{_day(one.start)} to {_day(one.end)}, {metres(one.height)} high"
        if one.maskers:
            told = listed([f"{masker.name} ({metres(masker.height)})" for masker in one.maskers[:4]])
            yield f"{one.name}: {when}; hidden behind {told}."
        else:
            yield f"{one.name}: {when}; nothing on the list is high enough then to hide it."


def _under(found: Combination) -> Iterator[str]:
    for one in found.under:
        if one.share < one.wanted:
            yield f"{one.bulb} under {one.host}: {one.share:.0%} of the light while in leaf, and wants {one.wanted:.0%}."


def _climbers(found: Combination) -> Iterator[str]:
    for climber, hosts in found.hosts.items():
        yield f"{climber}: " + (f"can grow through {listed(hosts)}." if hosts else "nothing on the list can carry it.")


def _flowers(found: Combination) -> Iterator[str]:
    likely = sorted(
        (one for one in found.overlaps if one.chance > LIKELY), key=lambda one: (-one.chance, one.first, one.second)
    )
    for one in likely[:MOST_PAIRS]:
        first, second = (f" ({listed(colours)})" if colours else "" for colours in one.colours)
        alike = ", of one colour group" if one.apart is not None and one.apart <= NEAR else ""
        yield f"{one.first}{first} with {one.second}{second}: {round(10 * one.chance)} years in 10{alike}."
    if len(likely) > MOST_PAIRS:
        yield f"{len(likely) - MOST_PAIRS} more pairs; --format json has them all."


def _offers(found: Combination) -> Iterator[str]:
    for want, some in found.offers.items():
        yield f"{capital(want)}: {listed(some) or 'no plant of the store is known to bear that site'}."


def _cautions(found: Combination, country: str) -> Iterator[str]:
    for traits in found.plants:
        if hazards := traits.hazards():
            yield f"{traits.name}: " + "; ".join(f"{one.who}, {one.how} ({one.part})" for one in hazards) + "."
        elif hazards is None:
            yield f"{traits.name}: no entry on hazards was found."
        listings = [one for one in traits.listings() or () if country in ("", one.jurisdiction)]
        if listings:
            yield f"{traits.name} is listed as invasive: {'; '.join(f'{one.jurisdiction}, {one.date}' for one in listings)}."
        elif country and traits.listings() is None:
            yield f"{traits.name}: nobody looked whether {country} lists it as invasive."


def _delivery(found: Combination) -> Iterator[str]:
    told = found.delivery
    if told is None:
        yield "When they are planted is not known."
        return
    at = date(7 * told.week - 3)
    out = f" all but {listed(told.left_out)}" if told.left_out else " all whose dates are known"
    yield f"In the week of {at[1]} {month(at[0])}{out} can be planted."
    if told.unknown:
        yield f"Not known of {listed(told.unknown)}."


def _numbers(found: Combination) -> str:
    by_name = {portion.name: portion for portion in found.portions}
    rows = []
    for traits in sorted(
        found.plants, key=lambda one: [p.name for p in found.portions].index(one.name) if one.name in by_name else 99
    ):
        portion, times = by_name.get(traits.name), _times(traits)
        if portion is None:
            rows.append((traits.name, times["lives"], times["takes"], "", "", "", *("" for _ in AREAS)))
            continue
        part = share(portion.share) if portion.share is not None else "through"
        numbers = (str(number or "–") for number in portion.numbers)
        rows.append(
            (traits.name, times["lives"], times["takes"], part, metres(portion.apart), f"{portion.per_m2:g}", *numbers)
        )
    return table(("plant", "lives", "effect in", "ground", "apart", "a m²", *(f"on {area} m²" for area in AREAS)), rows)


def _times(traits: TaxonTraits) -> dict[str, str]:
    life = traits.measure("lifespan")
    woody, herb = traits.measure("years_to_ultimate"), traits.measure("seasons_to_establish")
    takes = woody or herb
    return {"lives": _years(life), "takes": _years(takes)}


def _years(measure: Measure | None) -> str:
    return f"{measure.typical:g} year{'s' if measure.typical != 1 else ''}" if measure else ""


def _span(ends: tuple[float, float]) -> str:
    return f"{ends[0]:g}" if ends[0] == ends[1] else f"{ends[0]:g} to {ends[1]:g}"


def _steps(trait: str, ends: tuple[float, float]) -> str:
    words = [_word(trait, int(end)) for end in ends]
    return words[0] if words[0] == words[1] else f"{words[0]} to {words[1]}"


def _word(trait: str, step: int) -> str:
    return trait_table().traits[trait].scale[step].partition(":")[0]


def _day(day: float) -> str:
    number, of_month = date(day)
    return f"{of_month} {month(number)}"


def as_data(found: Combination, names: Mapping[str, str], unknown: Mapping[str, Sequence[str]], country: str) -> str:
    """The same as JSON, with every pair and every list of invasive plants."""
    said = {"country": country or None, "caution": CAUTION, "areas_m2": AREAS, "needs_a_plan": NEEDS_A_PLAN}
    return as_json({**said, **data_of(found, names, unknown)})


def data_of(found: Combination, names: Mapping[str, str], unknown: Mapping[str, Sequence[str]]) -> dict[str, object]:
    """One combination as data."""
    rest = {name: _plain(value) for name, value in found._asdict().items() if name != "plants"}
    plants = [
        {
            "name": traits.name, **_times(traits),
            "hazards": None if (hazards := traits.hazards()) is None else [one._asdict() for one in hazards],
            "listings": None if (listings := traits.listings()) is None else [one._asdict() for one in listings],
        }
        for traits in found.plants
    ]  # fmt: skip
    return {"names": dict(names), "not_known": dict(unknown), "plants": plants, **rest}


def _plain(value: Any) -> Any:
    """Named tuples as objects, all the way down."""
    if hasattr(value, "_asdict"):
        return {name: _plain(part) for name, part in value._asdict().items()}
    if isinstance(value, Mapping):
        return {str(key): _plain(part) for key, part in value.items()}
    return [_plain(part) for part in value] if isinstance(value, list | tuple) else value
