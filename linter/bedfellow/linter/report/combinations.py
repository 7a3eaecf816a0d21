"""The combinations of a catalogue, a line each, and as data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.combination import data_of
from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import filled, year
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.table import table
from bedfellow.rules.combination.combination import NEEDS_A_PLAN
from bedfellow.rules.combination.ratio import AREAS

if TYPE_CHECKING:
    from bedfellow.rules.combination.combination import Combination


class Named(NamedTuple):
    """A combination of a catalogue by its name: found is None where no plant of it is known.

    names: written otherwise to the accepted name; unknown: written so to the nearest names.
    """

    name: str
    found: Combination | None
    names: Mapping[str, str]
    unknown: Mapping[str, Sequence[str]]

    @property
    def sound(self) -> bool:
        """All its plants are known and share a site."""
        return self.found is not None and not self.found.leave_out and not self.unknown


def in_words(some: Sequence[Named], country: str) -> str:
    """A table of all, and what to do where one cannot be sold as it is."""
    rows = [(one.name, *_row(one.found)) for one in some]
    headings = ("combination", "plants", "site", "to look at", "evergreen", "same space", "dies in view")
    parts = [table(headings, rows)]
    for one in some:
        if one.found is not None and one.found.leave_out:
            parts.append(
                filled(f"{one.name}: no site suits all; without {', '.join(one.found.leave_out)} there is.", "    ")
            )
        for name, near in one.unknown.items():
            nearest = f"nearest: {', '.join(near)}" if near else "no known name is near it"
            parts.append(filled(f"{one.name}: no plant is called '{name}'; {nearest}.", "    "))
    sound = sum(one.sound for one in some)
    parts.append(
        filled(
            f"{sound} of {len(some)} share a site and are known in full. 'bedfellow combine' with one of them tells all of it."
        )
    )
    return "\n".join([*parts, filled(CAUTION)])


def _row(found: Combination | None) -> tuple[object, ...]:
    if found is None:
        return (0, "", "", "", "", "")
    months = [number for number, plants in found.interest.items() if plants]
    unhidden = sum(not one.maskers for one in found.collapses)
    site = "none for all" if found.leave_out else "shared"
    return (len(found.plants), site, year(months), f"{found.evergreen:.0%}", len(found.rivals), unhidden)


def as_data(some: Sequence[Named], country: str) -> str:
    """Each combination as 'combine' tells one."""
    told = [
        {
            "name": one.name,
            "sound": one.sound,
            **(data_of(one.found, one.names, one.unknown) if one.found else {"not_known": dict(one.unknown)}),
        }
        for one in some
    ]
    return as_json(
        {
            "country": country or None,
            "caution": CAUTION,
            "areas_m2": AREAS,
            "needs_a_plan": NEEDS_A_PLAN,
            "combinations": told,
        }
    )
