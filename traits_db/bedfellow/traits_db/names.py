"""Plant names as people spell them, and the nearest known ones."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

_QUOTES = str.maketrans({"‘": "'", "’": "'", "`": "'", "“": "'", "”": "'", '"': "'"})


def name_key(text: str) -> str:
    """A name in the form in which it is looked up: case, accents, quotes and the hybrid sign do not matter."""
    folded = unicodedata.normalize("NFKD", text.translate(_QUOTES)).casefold()
    folded = "".join(letter for letter in folded if not unicodedata.combining(letter))
    folded = re.sub(r"\s*×\s*|\s+x\s+", " ", folded)
    folded = folded.replace("ssp.", "subsp.")
    return " ".join(folded.split())


def near_names(text: str, names: Iterable[str], number: int = 3) -> list[str]:
    """Known names most like a text, the likest first."""
    from difflib import SequenceMatcher

    key = name_key(text)
    scored = []
    for name in names:
        other = name_key(name)
        if other[:1] != key[:1] or abs(len(other) - len(key)) > max(6, len(key) // 2):
            continue
        likeness = SequenceMatcher(None, key, other).ratio()
        if likeness >= 0.75:
            scored.append((-likeness, name))
    return [name for _, name in sorted(scored)[:number]]
