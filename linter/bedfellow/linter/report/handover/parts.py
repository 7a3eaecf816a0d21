"""What a page of the document is made of, as plain data: headings, paragraphs, lists, tables and cards.

All of it is shown as text; letters that the typeface does not have are written by their code, so that none is lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

from bedfellow.linter.report.drawings.typeface import botanical, missing
from bedfellow.linter.report.handover.rows import Cell, words

Spans = list[list[str]]
Part = dict[str, Any]
Row = list[Cell | Spans]
PIECE = 11  # letters, after which a long word may be broken
_LONG = re.compile(r"\S{22,}")
BREAK = "\u200b"


def shown(text: object) -> str:
    """Words that can be printed: nothing hidden, no letter that the typeface lacks, no word too long for a column."""
    return _LONG.sub(_broken, printable(words(text)))


def printable(text: str) -> str:
    """A text with the letters that the typeface does not have by their codes."""
    foreign = missing(text)
    return text.translate({ord(letter): f"\\u{ord(letter):04x}" for letter in foreign}) if foreign else text


def _broken(found: re.Match[str]) -> str:
    word = found.group()
    return BREAK.join(word[at : at + PIECE] for at in range(0, len(word), PIECE))


def name_of(name: str, *after: str) -> Spans:
    """A botanical name, Latin in italic, and words after it."""
    parts = [[span.style, shown(span.words)] for span in botanical(name)]
    return [*parts, *(["regular", f" {shown(text)}"] for text in after if text)]


def heading(text: str) -> Part:
    return {"kind": "heading", "text": shown(text)}


def text(said: str) -> Part:
    return {"kind": "text", "text": shown(said)}


def spans(said: Spans) -> Part:
    return {"kind": "text", "text": said}


def quiet(said: str) -> Part:
    return {"kind": "quiet", "text": shown(said)}


def caution(said: str) -> Part:
    return {"kind": "caution", "text": shown(said)}


def listing(items: Iterable[str | Spans]) -> Part:
    return {"kind": "list", "items": [shown(item) if isinstance(item, str) else item for item in items]}


def table(
    head: Sequence[str],
    rows: Iterable[Sequence[Cell | Spans]],
    widths: Sequence[float],
    size: float = 8.5,
    figures: Sequence[int] = (),
    needed: Sequence[int] = (0,),
) -> Part:
    """Rows under headings. widths: parts of the page, 0 as wide as it needs.

    A column in which nothing stands is left out, unless it is needed.
    """
    told = [[_cell(cell) for cell in row] for row in rows]
    kept = [n for n in range(len(head)) if n in needed or any(row[n] not in ("", []) for row in told)]
    return {
        "kind": "table", "head": [shown(head[n]) for n in kept], "widths": [widths[n] for n in kept], "size": size,
        "rows": [[row[n] for n in kept] for row in told],
        "figures": [place for place, n in enumerate(kept) if n in figures],
    }  # fmt: skip


def _cell(cell: Cell | Spans) -> str | Spans:
    if isinstance(cell, list):
        return cell
    return "" if cell is None else shown(f"{cell:g}" if isinstance(cell, float) else cell)


def few(words: Sequence[str], most: int = 8) -> str:
    """The first of them, and how many more there are."""
    more = len(words) - most
    return ", ".join(words) if more <= 1 else f"{', '.join(words[:most])} and {more} more"


def names(plants: Sequence[str], most: int = 8) -> Spans:
    """Botanical names in a row; the first of them where there are many."""
    more = len(plants) - most
    shown_ = plants if more <= 1 else plants[:most]
    said: Spans = []
    for plant in shown_:
        said += [*([["regular", ", "]] if said else []), *name_of(plant)]
    return said if more <= 1 else [*said, ["regular", f" and {more} more"]]
