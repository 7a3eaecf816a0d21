"""Letters: widths against another reader of the font, lines that fit, and how botanical names are written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.linter.report.drawings.typeface import (
    FILES,
    FONTS,
    Span,
    advances,
    botanical,
    missing,
    shortened,
    width,
    wrapped,
)

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=120)


@pytest.mark.parametrize("style", FILES)
def test_widths_are_those_of_the_font(style: str) -> None:
    ttlib = pytest.importorskip("fontTools.ttLib")
    font = ttlib.TTFont(FONTS / FILES[style])
    glyphs, units = font.getBestCmap(), font["head"].unitsPerEm
    assert advances(style) == pytest.approx({code: font["hmtx"][glyph][0] / units for code, glyph in glyphs.items()})
    font.close()


def test_the_licence_lies_beside_the_fonts() -> None:
    assert "SIL OPEN FONT LICENSE" in (FONTS / "LICENCE.txt").read_text("utf-8")


@given(TEXTS, st.floats(5, 80))
def test_lines_fit_and_lose_no_letter(words: str, most: float) -> None:
    lines = wrapped(words, 2.8, most)
    for line in lines:
        told = "".join(part.words for part in line)
        assert width(line, 2.8) <= most + 1e-6 or len(told.strip()) <= 1
    from bedfellow.linter.report.plain import plain

    kept = "".join(part.words for line in lines for part in line)
    assert "".join(kept.split()) == "".join(plain(words).split())


@given(TEXTS, st.floats(5, 80))
def test_what_is_shortened_fits(words: str, most: float) -> None:
    assert width(shortened(words, 2.8, most), 2.8) <= most


@pytest.mark.parametrize(
    ("name", "italic"),
    [
        ("Geranium macrorrhizum 'Album'", "Geranium macrorrhizum"),
        ("Osmanthus × burkwoodii", "Osmanthus burkwoodii"),
        ("Sarcococca hookeriana var. digyna 'Purple Stem'", "Sarcococca hookeriana digyna"),
        ("Helleborus × hybridus Ashwood Group", "Helleborus hybridus"),
        ("Geranium 'Rozanne'", "Geranium"),
        ("× Fatshedera lizei", "Fatshedera lizei"),
    ],
)
def test_latin_is_italic_and_cultivars_stand_upright(name: str, italic: str) -> None:
    parts = botanical(name)
    assert "".join(part.words for part in parts) == name
    assert " ".join(part.words.strip() for part in parts if part.style == "italic") == italic


def test_letters_that_are_missing_are_told() -> None:
    assert missing("Rose, Роза, ורד, Ρόδο ' ×") == "" and missing("木と A木") == "と木"


def test_styles_are_measured_by_their_own_letters() -> None:
    assert width((Span("Plants", "bold"),), 10) > width("Plants", 10) > 0
