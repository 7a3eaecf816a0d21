"""Which pairs of a list share a site, counted, in words and as data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import filled
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.table import share, table
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.traits_db.combination.pairs import Tally

SHOWN = 12  # plants that have the fewest partners


def in_words(names: Sequence[str], counted: Tally, unknown: Mapping[str, Sequence[str]]) -> str:
    """The counts, and the plants that have the fewest partners."""
    part = counted.sharing / counted.pairs if counted.pairs else 0.0
    factors = [f"{number:,} by {factor}" for factor, number in counted.apart.items() if number]
    told = f"{len(names):,} plants, {counted.pairs:,} pairs: {counted.sharing:,} share a site ({share(part)})"
    parts = [filled(f"{told}; kept apart: {listed(factors) or 'none'}.")]
    if unknown:
        parts.append(filled(f"Not known: {listed(list(unknown))}."))
    fewest = sorted(zip(counted.partners.tolist(), names, strict=True))[:SHOWN]
    parts.append(table(("fewest partners", "number"), [(name, number) for number, name in fewest]))
    return "\n".join([*parts, filled(CAUTION)])


def as_data(names: Sequence[str], counted: Tally, unknown: Mapping[str, Sequence[str]]) -> str:
    """The same as JSON, with every plant."""
    partners = dict(zip(names, counted.partners.tolist(), strict=True))
    return as_json(
        {"pairs": counted.pairs, "sharing": counted.sharing, "apart": counted.apart, "partners": partners,
         "not_known": dict(unknown), "caution": CAUTION}
    )  # fmt: skip
