"""PNG and PDF, read by other programs; the same bytes each time; and names that mean harm."""

from __future__ import annotations

import io
import struct
import sys
from xml.etree import ElementTree

import pytest

from bedfellow.linter.report.drawings import PICTURES, drawn
from bedfellow.linter.report.drawings.asked import Asked
from bedfellow.linter.report.drawings.paper import CannotPrint, pdf, png
from bedfellow.linter.report.drawings.sheet import CannotDraw, Drawing

MM = 72 / 25.4  # points
HOSTILE = """\
format: 1
title: '</title><script>alert(1)</script> & "quotes" #set page(width: 1pt) $x$'
site: {latitude: 51.6, faces: S}
border: {name: '<b onload=x>', outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}
structures:
- {key: '"/><x', kind: fence, from: [0, 3], to: [6, 3], height: 1.8}
plants:
- {key: '<a>&"''', name: Cornus mas, at: [2, 1]}
- {key: 'url(#evergreen)', name: '<script>alert("x")</script>', at: [4, 1]}
- {key: שלום, name: "Narcissus 'Tête-à-tête'", at: [5, 1]}
"""


def test_a_pdf_has_a_page_a_drawing_as_large_as_it(draw) -> None:  # type: ignore[no-untyped-def]
    pypdf = pytest.importorskip("pypdf")
    drawings = [draw(name) for name in PICTURES]
    reader = pypdf.PdfReader(io.BytesIO(pdf(drawings)))
    assert len(reader.pages) == len(PICTURES)
    for page, drawing in zip(reader.pages, drawings, strict=True):
        assert float(page.mediabox.width) / MM == pytest.approx(drawing.width, abs=0.05)
        assert float(page.mediabox.height) / MM == pytest.approx(drawing.height, abs=0.05)
    said = reader.pages[0].extract_text()
    assert "Orchard Gate, south-west border" in said and "hates lime" in said and "CaK" in said
    fonts = {
        font["/BaseFont"]
        for page in reader.pages
        for font in (f.get_object() for f in page["/Resources"]["/Font"].values())
    }
    assert fonts and all("Liberation" in name for name in fonts)


def test_a_png_has_the_dots_that_were_asked_for(draw) -> None:  # type: ignore[no-untyped-def]
    drawing = draw("plan")
    data = png(drawing, 100)
    assert data.startswith(b"\x89PNG")
    wide, high = struct.unpack(">II", data[16:24])
    assert (wide, high) == pytest.approx((drawing.width / 25.4 * 100, drawing.height / 25.4 * 100), abs=1)
    with pytest.raises(CannotPrint, match="million"):
        png(drawing, 20_000)


def test_the_same_plan_gives_the_same_bytes(judged, draw) -> None:  # type: ignore[no-untyped-def]
    for name in PICTURES:
        again = drawn(name, judged["demo"], Asked())
        assert again.svg == draw(name).svg
    assert pdf([draw("plan"), draw("calendar")]) == pdf([draw("plan"), draw("calendar")])
    assert png(draw("bulbs"), 60) == png(draw("bulbs"), 60)


@pytest.mark.parametrize("picture", PICTURES)
def test_names_that_mean_harm_are_letters(lint_text, picture: str) -> None:  # type: ignore[no-untyped-def]
    result = lint_text(HOSTILE)
    try:
        drawing = drawn(picture, result, Asked())
    except CannotDraw as reason:
        pytest.fail(str(reason))
    root = ElementTree.fromstring(drawing.svg)
    tags = {element.tag.partition("}")[2] for element in root.iter()}
    assert tags <= {
        "svg",
        "title",
        "defs",
        "pattern",
        "clipPath",
        "g",
        "use",
        "rect",
        "circle",
        "line",
        "polygon",
        "polyline",
        "path",
        "text",
        "tspan",
    }
    assert not any(name.startswith("on") for element in root.iter() for name in element.attrib)
    assert "</title><script>" in "".join(root.itertext())
    pypdf = pytest.importorskip("pypdf")
    [page] = pypdf.PdfReader(io.BytesIO(pdf([drawing]))).pages
    assert float(page.mediabox.width) / MM == pytest.approx(drawing.width, abs=0.05)


def test_letters_that_no_machine_would_have_are_refused(lint_text) -> None:  # type: ignore[no-untyped-def]
    drawing = drawn("plan", lint_text(HOSTILE.replace("שלום", "木")), Asked())
    assert "木" in drawing.svg
    with pytest.raises(CannotPrint, match="does not have 木; a drawing as SVG"):
        pdf([drawing])


def test_without_the_library_it_says_what_to_install(draw, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(CannotPrint, match=r"pip install 'bedfellow\[handover\]'"):
        pdf([draw("plan")])


def test_a_drawing_is_plain_data(draw) -> None:  # type: ignore[no-untyped-def]
    assert Drawing(*draw("plan")) == draw("plan")
