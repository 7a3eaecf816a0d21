"""The document as pypdf reads it."""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import pytest
from pypdf import PdfReader

from bedfellow.linter.report.drawings.asked import Asked
from bedfellow.linter.report.drawings.sheet import CannotDraw
from bedfellow.linter.report.handover import cautions, parts
from bedfellow.linter.report.handover.document import SECTIONS, document
from bedfellow.linter.report.handover.pack import Pack

Packed = Callable[[str], Pack]
ASKED = Asked(findings=False)
A4 = {(210, 297), (297, 210)}


def read(data: bytes) -> tuple[PdfReader, str]:
    """The document and all its words, without breaks."""
    pdf = PdfReader(io.BytesIO(data))
    return pdf, re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pdf.pages).replace("\u200b", ""))


@pytest.fixture(scope="module")
def printed(full: Pack) -> bytes:
    return document(full, ASKED)


@pytest.fixture(scope="module")
def pages(printed: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(printed)).pages]


@pytest.fixture(scope="module")
def told(pages: list[str]) -> str:
    return " ".join(pages).replace("\u200b", "")


def squeezed(text: str) -> str:
    """Without spaces, since lines may break anywhere, and without the hyphen that a break needs."""
    return re.sub(r"\s+", "", text)


def test_every_plant_is_named_with_its_key(full: Pack, told: str) -> None:
    for row in full.orders:
        assert squeezed(row.name) in squeezed(told)
        assert squeezed(row.key) in squeezed(told)


def test_cautions_and_who_to_ask_are_there(full: Pack, told: str) -> None:
    for words in cautions.said(full.result):
        assert squeezed(words) in squeezed(told)
    for who in ("poison centre", "structural engineer", "arborist", "its owner, before digging", "Local restrictions"):
        assert squeezed(who) in squeezed(told)


def test_all_sections_are_in_the_contents_and_where_these_say(printed: bytes, pages: list[str]) -> None:
    pdf = PdfReader(io.BytesIO(printed))
    titles = {str(entry.title): pdf.get_destination_page_number(entry) for entry in pdf.outline}  # type: ignore[union-attr, arg-type]
    assert list(titles)[:2] == ["Planting plan", "Bulbs"]
    assert {heading for heading, *_ in SECTIONS} <= set(titles)
    for heading, *_ in SECTIONS:
        assert pages[titles[heading] or 0].lstrip().startswith(heading)


def test_pages_are_of_a4_and_drawings_as_large_as_they_are(printed: bytes) -> None:
    pdf = PdfReader(io.BytesIO(printed))
    sizes = [
        (round(float(p.mediabox.width) / 72 * 25.4), round(float(p.mediabox.height) / 72 * 25.4)) for p in pdf.pages
    ]
    assert sizes[0] == (210, 297)
    assert (420, 297) in sizes
    assert set(sizes) >= A4


def test_findings_accepted_and_open_and_revisions_are_told(packed: Packed) -> None:
    pack = packed(
        "planted: 2026-10\nsite: {latitude: 51.6, faces: S}\nborder: {outline: [[0, 0], [10, 0], [10, 4], [0, 4]]}\n"
        "plants:\n- {key: A, name: Taxus baccata, at: [2, 2]}\n- {key: B, name: Cornus mas, at: [2.5, 2]}\n"
        "brief: {children: [3]}\n"
        "accepted:\n- {code: SAFE-01, keys: [A], reason: the client knows, until: 2030-01}\n"
        "x-revisions:\n- {date: 2026-09-01, by: the designer, what: first issue}\n"
    )
    _, words = read(document(pack, ASKED))
    assert "the client knows" in words
    assert "2030-01" in words
    assert "SPACE-01" in words
    assert "2026-09-01 the designer first issue" in words
    assert "0123456789abcdef" in words
    assert "The plan does not say the soil's pH" in words  # an assumption


def test_a_plan_that_means_harm_is_shown_as_text(hostile: Pack) -> None:
    data = document(hostile, ASKED)
    pdf, words = read(data)
    text = squeezed(words)
    assert squeezed('<script>alert(1)</script> #eval("1")') in text
    assert "#panic()" in text
    assert "W" * 400 in text
    assert "\\u202e" in text
    assert len(pdf.pages) < 30
    assert not any("/JS" in str(page) or "/URI" in str(page) for page in pdf.pages)


def test_no_word_is_too_long_for_its_column(hostile: Pack) -> None:
    """Nothing is set beyond the edge of its page: words are looked at where they stand."""
    pdf = PdfReader(io.BytesIO(document(hostile, ASKED)))
    for page in pdf.pages:
        wide = float(page.mediabox.width)

        def visit(text: str, cm: list[float], tm: list[float], font: object, size: float, wide: float = wide) -> None:
            if text.strip():
                assert -1 <= tm[4] * cm[0] + cm[4] <= wide + 1

        page.extract_text(visitor_text=visit)


def test_letters_that_the_typeface_lacks_are_told_by_their_code() -> None:
    assert parts.shown("名 A") == "\\u540d A"
    assert parts.shown("a\u202eb") == "a\\u202eb"


def test_long_words_may_break_and_names_keep_their_words() -> None:
    assert parts.shown("W" * 30).replace(parts.BREAK, "") == "W" * 30
    assert parts.BREAK in parts.shown("W" * 30)
    spans = parts.name_of("Geranium × oxonianum 'Wargrave Pink'", "(cranesbill)", "")
    assert "".join(words for _, words in spans) == "Geranium × oxonianum 'Wargrave Pink' (cranesbill)"
    assert [words.strip() for style, words in spans if style == "italic"] == ["Geranium", "oxonianum"]


def test_the_same_pack_gives_the_same_bytes(full: Pack, printed: bytes) -> None:
    assert document(full, ASKED) == printed


def test_a_plan_without_places_has_the_rest_and_says_what_is_wanting(packed: Packed) -> None:
    pack = packed(
        "plants:\n- {key: A, name: Clematis montana, on: W}\nstructures: [{key: W, kind: wall, from: [0, 0], to: [4, 0]}]\n"
    )
    _, words = read(document(pack, ASKED))
    assert "There are drawings wanting" in words
    assert "Clematis montana" in words


def test_a_scale_that_does_not_fit_is_refused(packed: Packed) -> None:
    pack = packed(
        "border: {outline: [[0, 0], [90, 0], [90, 4], [0, 4]]}\nplants:\n- {key: A, name: Cornus mas, at: [2, 2]}\n"
    )
    with pytest.raises(CannotDraw, match="1:20"):
        document(pack, ASKED._replace(scale=20))
