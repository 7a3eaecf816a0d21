"""Plant names as people spell them, and the nearest known ones."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

_QUOTES = str.maketrans(dict.fromkeys('‘’‛`´′ʼ“”″"', "'"))
_HYBRID = re.compile(r"\s*×\s*|(?:^|\s)x\s+")
_SUBSPECIES = re.compile(r"\bssp\b\.?")


def name_key(text: str) -> str:
    """A name in the form in which it is looked up: case, accents, quotes and the hybrid sign do not matter."""
    folded = unicodedata.normalize("NFKD", text.translate(_QUOTES)).casefold()
    folded = "".join(letter for letter in folded if not unicodedata.combining(letter))
    folded = _SUBSPECIES.sub("subsp.", _HYBRID.sub(" ", folded))
    return " ".join(folded.split())


def near_names(text: str, names: Iterable[str], number: int = 3) -> list[str]:
    """Known names most like a text, the likest first."""
    from difflib import SequenceMatcher

    key = name_key(text)
    # The matcher keeps what it learns of its second text, so that is the one that stays.
    matcher = SequenceMatcher(autojunk=False)
    matcher.set_seq2(key)
    scored = []
    for name in names:
        if name[:1].casefold() != key[:1] and name_key(name)[:1] != key[:1]:
            continue
        if abs(len(name) - len(key)) > max(6, len(key) // 2):
            continue
        matcher.set_seq1(name_key(name))
        if (
            matcher.real_quick_ratio() >= 0.75
            and matcher.quick_ratio() >= 0.75
            and (likeness := matcher.ratio()) >= 0.75
        ):
            scored.append((-likeness, name))
    return [name for _, name in sorted(scored)[:number]]
