"""Tables and the line that tells how far work has come."""

from __future__ import annotations

import sys

import pytest

from bedfellow.linter.progress import line, progress
from bedfellow.linter.table import share, table


def test_columns_and_figures() -> None:
    assert table(("name", "n"), [("a", 5), ("bcdefg", 10)], 80) == "name     n\na        5\nbcdefg  10\n"
    assert table(("name", "share"), [("a", share(0.5))], 80) == "name  share\na       50%\n"


def test_it_fits() -> None:
    rows = [("Geranium macrorrhizum", "x" * 200, 7)]
    for width in (40, 60, 100):
        assert max(map(len, table(("plant", "note", "n"), rows, width).splitlines())) <= width
    assert "Geranium macrorrhizum" in table(("plant", "note", "n"), rows, 60), "the longest gives way"


def test_nothing_is_cut() -> None:
    """What is too long goes on below between words, and the key at a title's end stays."""
    rows = [
        ("Calamagrostis × acutiflora 'Karl Foerster' (CaK)", "full sun, part shade", "12%"),
        ("Geranium macrorrhizum (GeM)", "part shade, full shade", "7%"),
    ]
    assert table(("plant", "wants", "share"), rows, 50) == (
        "plant                        wants           share\n"
        "Calamagrostis × acutiflora   full sun, part    12%\n"
        "  'Karl Foerster' (CaK)      shade\n"
        "Geranium macrorrhizum (GeM)  part shade,        7%\n"
        "                             full shade\n"
    )


def test_words_are_broken_last() -> None:
    """A narrow terminal takes the gaps first, then the longest words; even then nothing is lost."""
    rows = [("Osmanthus × burkwoodii (OsB)", "15 September", "JFMAMJJASOND")]
    for width in (35, 36, 40):
        text = table(("plant", "from", "months"), rows, width)
        assert "JFMAMJJASOND" in text and "September" in text and "burkwoodii" in text
        assert max(map(len, text.splitlines())) <= width
    text = table(("a", "b"), [("x" * 300, "y" * 300)], 40)
    assert (text.count("x"), text.count("y")) == (300, 300)


def test_control_characters_are_shown() -> None:
    assert "\x1b" not in table(("a",), [("\x1b[31m",)], 80)


def test_the_bar() -> None:
    assert line("rows", 5, 10) == f"rows: {'■' * 12}{'·' * 12} 50%"
    assert line("rows", 12345, None) == "rows: 12,345"


def test_nothing_is_shown_but_to_a_person(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    with progress("rows", 10) as tell:
        tell(5)
    assert capsys.readouterr() == ("", "")
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    with progress("rows", 10) as tell:
        tell(5)
    out, err = capsys.readouterr()
    assert out == "" and "50%" in err and err.endswith("\r\033[K")
