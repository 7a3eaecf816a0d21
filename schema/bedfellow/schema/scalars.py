"""Plain scalars by the core schema of YAML 1.2.2 (section 10.3.2): null, booleans, integers, floats, else text.

Dates stay text, and so do ``yes``, ``no``, ``on``, ``off`` and ``12:30``.
"""

from __future__ import annotations

import math
import re

Scalar = str | int | float | bool | None

_NUMBER = re.compile(r"[-+]?(?:[0-9]+|(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?)|0o[0-7]+|0x[0-9a-fA-F]+")
_INTEGER = re.compile(r"[-+]?[0-9]+")
_STARTS = frozenset("0123456789+-.~nNtTfF")
_WORDS: dict[str, Scalar] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys((".nan", ".NaN", ".NAN"), math.nan),
    **{sign + word: math.inf for sign in ("", "+") for word in (".inf", ".Inf", ".INF")},
    **dict.fromkeys(("-.inf", "-.Inf", "-.INF"), -math.inf),
}
MOST_DIGITS = 40


def resolve(text: str, digits: int = MOST_DIGITS) -> Scalar:
    """The value of a plain scalar.

    Raises OverflowError for a number written with more than `digits` characters.
    """
    if text and text[0] not in _STARTS:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if _NUMBER.fullmatch(text) is None:
        return text
    if len(text) > digits:
        raise OverflowError(f"a number of {len(text)} characters")
    if _INTEGER.fullmatch(text):
        return int(text)
    if text.startswith(("0o", "0x")):
        return int(text, 0)
    return float(text)
