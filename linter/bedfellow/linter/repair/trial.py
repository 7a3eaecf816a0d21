"""A change tried before it is made: the plan judged again with it, and the findings compared by fingerprint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Options, judge, one_a_cause
from bedfellow.rules.border.border import Border
from bedfellow.rules.finding import LEVELS, Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.schema.plan import Line


# Families that ask for light, sight or cover month by month: together four fifths of the time of all checks.
SLOW = ("LIGHT", "LAYER", "BULB", "SEASON", "COVER", "WINTER", "COLOUR", "FILL")


def quick(options: Options, *besides: str) -> Options:
    """The same for the quick checks alone, and those besides: for what is to be judged in full anyway before it is kept."""
    codes = (code for code in options.settings.checks if not code.startswith(SLOW) or code in besides)
    return replace(options, only=tuple(codes))


class Outcome(NamedTuple):
    """Findings that would be new, and findings that would be gone; notes are left out of both."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]


def found(border: Border, options: Options) -> tuple[Finding, ...]:
    """The errors and warnings on a border, accepted ones among them."""
    return judged(border, options)[0]


def judged(border: Border, options: Options) -> tuple[tuple[Finding, ...], tuple[Unjudged, ...]]:
    """The errors and warnings on a border, accepted ones among them, and what could not be judged."""
    said, _ = judge(border, options)
    kept, _ = one_a_cause([entry for entry in said if isinstance(entry, Finding)], options.settings.checks)
    return (
        tuple(finding for finding in kept if finding.level != "note"),
        tuple(entry for entry in said if isinstance(entry, Unjudged)),
    )


def trial(border: Border, lines: Sequence[Line], before: Sequence[Finding], options: Options) -> Outcome:
    """What would be found in a border with these lines in place of its own, against what is found in it now."""
    return compared(before, found(Border(replace(border.plan, lines=tuple(lines)), border.store), options))


def compared(before: Sequence[Finding], after: Sequence[Finding]) -> Outcome:
    """What two judgements do not share; what was a warning and is an error is new."""
    were, are = ({fingerprint(finding): finding for finding in findings} for findings in (before, after))
    return Outcome(
        tuple(
            finding
            for print_, finding in are.items()
            if print_ not in were or LEVELS.index(finding.level) > LEVELS.index(were[print_].level)
        ),
        tuple(finding for print_, finding in were.items() if print_ not in are),
    )
