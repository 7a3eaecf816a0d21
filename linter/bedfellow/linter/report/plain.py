"""Text without control characters, for every output that a terminal or an editor may show."""

from __future__ import annotations

import unicodedata


def plain(text: object) -> str:
    """The text on one line; control, format and direction characters written as ``\\u….``."""
    return "".join(
        letter if unicodedata.category(letter) not in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp") else f"\\u{ord(letter):04x}"
        for letter in str(text)
    )
