"""The letters of the drawings: how wide they are, where a line breaks, and how botanical names are written.

Liberation Sans (SIL Open Font Licence, in ``fonts/``) is as wide, letter for letter, as Arial and Helvetica: a browser that
has none of the first shows the second, and what fits on paper fits there. Kerning only narrows, so widths err on the safe side.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from struct import unpack_from
from typing import NamedTuple

from bedfellow.linter.report.plain import plain

FONTS = Path(__file__).with_name("fonts")
FAMILY = "Liberation Sans, Arimo, Arial, Helvetica, Nimbus Sans, DejaVu Sans Condensed, sans-serif"
FILES = {
    "regular": "LiberationSans-Regular.ttf",
    "italic": "LiberationSans-Italic.ttf",
    "bold": "LiberationSans-Bold.ttf",
}
WIDEST = 1.0  # em, of a letter that the typeface does not have
LINE = 1.3  # from one line to the next, over the size of the letters


class Span(NamedTuple):
    """Some words in one style: regular, italic or bold."""

    words: str
    style: str = "regular"


Words = str | Sequence[Span]


@cache
def advances(style: str) -> Mapping[int, float]:
    """Code point to width, in em, of every letter of a style; from the tables of the font itself (OpenType 1.9: cmap, hmtx)."""
    data = (FONTS / FILES[style]).read_bytes()
    tables = {}
    for entry in range(unpack_from(">H", data, 4)[0]):
        tag, _, offset, _ = unpack_from(">4sIII", data, 12 + 16 * entry)
        tables[tag.decode("ascii")] = offset
    units = unpack_from(">H", data, tables["head"] + 18)[0]
    measured = unpack_from(">H", data, tables["hhea"] + 34)[0]
    widths = [unpack_from(">H", data, tables["hmtx"] + 4 * glyph)[0] / units for glyph in range(measured)]
    return {code: widths[min(glyph, measured - 1)] for code, glyph in _glyphs(data, tables["cmap"])}


def _glyphs(data: bytes, cmap: int) -> Iterator[tuple[int, int]]:
    """(code point, glyph) of the basic plane: a subtable of format 4."""
    for entry in range(unpack_from(">H", data, cmap + 2)[0]):
        platform, encoding, offset = unpack_from(">HHI", data, cmap + 4 + 8 * entry)
        at = cmap + offset
        if (platform, encoding) == (3, 1) and unpack_from(">H", data, at)[0] == 4:
            break
    else:
        raise ValueError("the font has no table of Unicode letters")
    segments = unpack_from(">H", data, at + 6)[0] // 2
    ends, starts, deltas, ranges = (at + 14 + 2 * segments * part + (2 if part else 0) for part in range(4))
    for segment in range(segments):
        end, start, delta, skip = (
            unpack_from(">H", data, table + 2 * segment)[0] for table in (ends, starts, deltas, ranges)
        )
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if skip:
                glyph = unpack_from(">H", data, ranges + 2 * segment + skip + 2 * (code - start))[0]
            if glyph:
                yield code, (glyph + delta) % 0x10000


def spans(words: Words) -> tuple[Span, ...]:
    """The words, whatever form they come in, without control characters."""
    if isinstance(words, str):
        return (Span(plain(words)),)
    return tuple(Span(plain(part), style) for part, style in words)


def width(words: Words, size: float) -> float:
    """Width in mm of words in letters of a size in mm."""
    return size * sum(advances(style).get(ord(letter), WIDEST) for part, style in spans(words) for letter in part)


def missing(words: str) -> str:
    """The letters among some words that the typeface does not have, each once and in order."""
    known = advances("regular")
    return "".join(sorted({letter for letter in words if not letter.isspace() and ord(letter) not in known}))


def shortened(words: str, size: float, most: float) -> str:
    """The words, cut with an ellipsis where they are wider than `most` mm."""
    words = plain(words)
    if width(words, size) <= most:
        return words
    while words and width(words + "…", size) > most:
        words = words[:-1]
    return words.rstrip() + "…"


def wrapped(words: Words, size: float, most: float) -> list[tuple[Span, ...]]:
    """The words in lines of at most `most` mm; a word that is wider is broken."""
    lines: list[list[Span]] = [[]]
    used = 0.0
    for piece, style in _pieces(spans(words), size, most):
        wide = width((Span(piece, style),), size)
        if lines[-1] and used + width((Span(piece.rstrip(), style),), size) > most:
            lines.append([])
            used = 0.0
        if not lines[-1]:
            piece = piece.lstrip()
            wide = width((Span(piece, style),), size)
        if lines[-1] and lines[-1][-1].style == style:
            lines[-1][-1] = Span(lines[-1][-1].words + piece, style)
        else:
            lines[-1].append(Span(piece, style))
        used += wide
    return [tuple(line) for line in lines]


def _pieces(parts: Sequence[Span], size: float, most: float) -> Iterator[Span]:
    """Words with the space before them, of which none is wider than a line."""
    for text, style in parts:
        for piece in re.findall(r"\s*\S+|\s+$", text):
            while width((Span(piece, style),), size) > most and len(piece) > 1:
                fits = max(
                    1, next(n for n in range(len(piece), -1, -1) if width((Span(piece[:n], style),), size) <= most)
                )
                yield Span(piece[:fits], style)
                piece = piece[fits:]
            yield Span(piece, style)


# What stands upright in a botanical name: ranks and hybrid signs (ICNCP 2016, articles 8 and 14; ICN, recommendation 60F).
UPRIGHT = frozenset({"×", "x", "+", "subsp.", "ssp.", "var.", "f.", "forma", "Group", "Grex", "sp.", "spp."})


def botanical(name: str) -> tuple[Span, ...]:
    """A plant's name: Latin in italic; cultivar epithets, Groups, ranks and hybrid signs upright."""
    found: list[Span] = []
    latin, quoted = True, False
    for index, word in enumerate(re.findall(r"\S+\s*", plain(name))):
        bare = word.strip()
        quoted = quoted or bare[0] in "'‘’\"“"
        # After the genus a word with a capital is no Latin epithet: a Group, a trade name, the words of a cultivar.
        latin = (
            latin
            and not quoted
            and not (index and bare[0].isupper() and found and found[-1].words.strip() not in ("×", "+"))
        )
        style = "italic" if latin and bare not in UPRIGHT and not bare.startswith("(") else "regular"
        if found and found[-1].style == style:
            found[-1] = Span(found[-1].words + word, style)
        else:
            found.append(Span(word, style))
    return tuple(found) or (Span(""),)
