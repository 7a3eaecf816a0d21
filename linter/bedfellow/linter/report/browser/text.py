"""Words of a plan as they may stand in HTML, SVG and in JSON within HTML; and rows of figures as short texts."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache
from html import escape
from typing import Any

from bedfellow.linter.report.plain import plain

LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-_"
_ESCAPES = {ord(letter): f"\\u{ord(letter):04x}" for letter in "<>&\u2028\u2029"}


def said(text: object) -> str:
    """Text for an element or an attribute in double quotes."""
    return escape(plain(text))


def data(value: Any) -> str:
    """A value as JSON on one line that may stand in a script element: nothing in it ends the element or opens another."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).translate(_ESCAPES)


def packed(figures: Iterable[float], letters: int) -> str:
    """Whole numbers from 0, each in so many letters of base 64, the greatest first; what is larger is cut off."""
    most = 64**letters - 1
    return "".join(_packed(min(max(0, round(figure)), most), letters) for figure in figures)


@lru_cache(maxsize=64**2)
def _packed(number: int, letters: int) -> str:
    return "".join(LETTERS[number >> (6 * place) & 63] for place in reversed(range(letters)))


class Shelf:
    """Things that are told once: `of` gives the number of one, new or known."""

    def __init__(self) -> None:
        self._known: dict[Any, int] = {}

    def of(self, thing: Any) -> int:
        return self._known.setdefault(thing, len(self._known))

    @property
    def things(self) -> list[Any]:
        return list(self._known)
