"""Text without control characters, for every output that a terminal or an editor may show."""

from __future__ import annotations

import json
import unicodedata
from typing import Any

HIDDEN = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


def plain(text: object) -> str:
    """The text on one line; control, format and direction characters written as ``\\u….``."""
    return _shown(str(text), "")


def as_json(value: object) -> str:
    """The value as indented JSON, in which hidden characters are escaped, so that it is safe to look at and loses nothing."""
    return _shown(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False, default=_number), "\n") + "\n"


def _number(value: Any) -> object:
    """A NumPy scalar as the number that it is."""
    return value.item()


def _shown(text: str, spared: str) -> str:
    # Few texts hold any: look at each kind of letter once.
    hidden = {letter for letter in set(text) if letter not in spared and unicodedata.category(letter) in HIDDEN}
    return text.translate({ord(letter): _escape(ord(letter)) for letter in hidden}) if hidden else text


def _escape(code: int) -> str:
    """As JSON writes it: beyond the first plane as two halves (RFC 8259, section 7)."""
    if code <= 0xFFFF:
        return f"\\u{code:04x}"
    high, low = divmod(code - 0x10000, 0x400)
    return f"\\u{0xD800 + high:04x}\\u{0xDC00 + low:04x}"
