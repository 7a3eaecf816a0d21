"""A page about a check, and a page about a plant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from textwrap import fill, indent
from typing import Any

from bedfellow.linter.report.plain import plain
from bedfellow.rules.declaration import Declaration
from bedfellow.rules.words import listed
from bedfellow.schema.traits import Trait, trait_table
from bedfellow.schema.values import FIRST_DAYS, MONTHS, Measure, Tolerance, Value, Window, month_of
from bedfellow.traits_db.facts import TaxonTraits

Statement = tuple[str, Value, str, str, str]  # trait, value, source, method, confidence

WIDTH = 96
_POISON = "No list of poisonous plants is complete, and no entry does not mean safe"
# Said beside every list of plants.
CAUTION = f"{_POISON}: ask a poison centre, doctor or vet. What may be planted is for local rules to say."


def with_caution(found: Sequence[str]) -> tuple[str, ...]:
    """The cautions of findings, and that which is said beside every list of plants unless one of them says as much."""
    return (*found,) if any(text.startswith(_POISON) for text in found) else (*found, CAUTION)


def page(check: Declaration, shown: Mapping[str, Any] | None = None) -> str:
    """What a check's file says, in its order, with one of its examples."""
    parts = [f"{check.code}  {check.name} ({check.level})", "", _block("The fault", check.summary), _block("How it is found", check.found),
             _block("Where the limit comes from", check.basis)]  # fmt: skip
    if check.seasons:
        parts.insert(-1, f"    Judged in season {listed([str(season) for season in check.seasons])} after planting.")
    for name, setting in check.settings.items():
        parts.append(
            fill(
                f"{name}: {setting['default']} {setting['unit']}; {setting['about']} ({setting['basis']})",
                WIDTH,
                initial_indent="    ",
                subsequent_indent="      ",
            )
        )
    if check.right_when:
        parts.append("When it is right all the same")
        parts += [
            fill(f"{name}: {text}", WIDTH, initial_indent="    ", subsequent_indent="      ")
            for name, text in check.right_when.items()
        ]
    parts.append(_block("How to mend it", check.mend))
    if shown:
        parts += [f"An example, on invented plants: {shown['shows']}", indent(shown["plan"].rstrip(), "    ")]
    if check.caution:
        parts.append(_block("Caution", check.caution))
    return "\n".join(parts) + "\n"


def _block(heading: str, text: str) -> str:
    return heading + "\n" + fill(" ".join(text.split()), WIDTH, initial_indent="    ", subsequent_indent="    ")


def plant_page(traits: TaxonTraits, statements: Sequence[Statement] = ()) -> str:
    """Every known trait with its value, the level that it comes from, its source and confidence.

    statements: of the taxon itself; what other sources say of it follows the value in use.
    """
    return "\n".join(_rows(traits, statements)) + "\n"


def _rows(traits: TaxonTraits, statements: Sequence[Statement]) -> Iterator[str]:
    table = trait_table().traits
    yield f"{traits.name} ({traits.rank})"
    if traits.hazards():
        yield "Caution: known to harm; see hazards. No list is complete; ask a poison centre, doctor or vet."
    elif traits.hazards() is None:
        yield "Caution: no entry on hazards was found, which does not mean safe."
    for name, row in table.items():
        fact = traits.fact(name)
        if fact is None:
            continue
        where = "" if fact.level == traits.rank else f", from the {fact.level}"
        yield f"  {name.replace('_', ' '):26} {plain(said(row, fact.value)):44} {fact.source}, {fact.confidence}{where}"
        for trait, value, source, _, confidence in statements:
            if trait == name and source != fact.source and fact.level == traits.rank:
                yield f"  {'':26} {plain(said(row, value)):44} {source}, {confidence}: another source"


def said(row: Trait, value: object) -> str:
    """A value in words."""
    match value:
        case Measure(low, typical, high):
            return f"{typical:g} {row.unit} ({low:g} to {high:g})"
        case Tolerance(lower, upper):
            if row.scale:
                return f"{row.scale[int(lower)]} to {row.scale[int(upper)]}"
            return f"{lower:g} to {upper:g} {row.unit}"
        case Window():
            colours = f", {', '.join(value.colours)}" if value.colours else ""
            return f"{_date(value.start.typical)} to {_date(value.end.typical)}{colours}"
        case bool():
            return "yes" if value else "no"
        case int():
            return f"{value} {row.scale[value]}"
        case tuple() if value and not isinstance(value[0], str):
            return "; ".join(" ".join(str(part) for part in entry) for entry in value)
        case tuple():
            return ", ".join(str(word) for word in value) or "none known"
        case _:
            return str(value)


def _date(day: float) -> str:
    day = (round(day) - 1) % 365 + 1
    month = month_of(day)
    return f"{day - FIRST_DAYS[month - 1] + 1} {MONTHS[month - 1]}"
