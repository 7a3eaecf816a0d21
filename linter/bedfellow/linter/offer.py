"""A repair that is known to mend a finding, as reports tell it."""

from __future__ import annotations

from typing import NamedTuple

from bedfellow.schema.place import Span


class Replacement(NamedTuple):
    """What a repair does to the text: the span that goes, and what stands there then."""

    span: Span
    text: str


class Offer(NamedTuple):
    """The repair in words, whether it leaves the design as it is, and what it does to the text."""

    words: str
    keeps_design: bool
    changes: tuple[Replacement, ...]
