"""Drawings as PNG and PDF, by way of typst: the same bytes on every machine, since only the fonts of this package are used."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from bedfellow.linter.report.drawings.typeface import FONTS, missing

if TYPE_CHECKING:
    from bedfellow.linter.report.drawings.sheet import Drawing

MM_AN_INCH = 25.4
MOST_PIXELS = 200_000_000


class CannotPrint(ValueError):
    """Why drawings cannot be made into a PNG or a PDF, in words."""


def png(drawing: Drawing, dots_per_inch: float = 150) -> bytes:
    """One drawing as PNG. Raises CannotPrint."""
    dots = drawing.width * drawing.height * (dots_per_inch / MM_AN_INCH) ** 2
    if dots > MOST_PIXELS:
        raise CannotPrint(
            f"at {dots_per_inch:g} dots an inch the picture has {dots / 1e6:,.0f} million; a PDF or SVG has no limit"
        )
    return _compiled([drawing], "png", dots_per_inch=dots_per_inch)


def pdf(drawings: Sequence[Drawing], title: str = "") -> bytes:
    """A PDF of a page a drawing, each as large as its drawing. Raises CannotPrint."""
    return _compiled(drawings, "pdf", title)


def page_of(number: int) -> str:
    """The part of a typst document that holds the nth drawing, whose SVG is ``sys.inputs.svg<n>`` and size ``width<n>``, ``height<n>``."""
    return (
        f"#set page(width: float(sys.inputs.width{number}) * 1mm, height: float(sys.inputs.height{number}) * 1mm, margin: 0pt)\n"
        f'#image(bytes(sys.inputs.svg{number}), format: "svg", width: 100%, alt: sys.inputs.title{number})\n'
    )


def _compiled(
    drawings: Sequence[Drawing], form: Literal["png", "pdf"], title: str = "", dots_per_inch: float | None = None
) -> bytes:
    try:
        import typst
    except ImportError:
        raise CannotPrint("PNG and PDF need typst: pip install 'bedfellow[handover]'") from None
    foreign = missing("".join(drawing.svg for drawing in drawings))
    if foreign:
        shown = " ".join(foreign[:12])
        raise CannotPrint(
            f"the typeface of PNG and PDF does not have {shown}; a drawing as SVG shows these letters with the browser's own"
        )
    inputs = {"title": title or drawings[0].title}
    for number, drawing in enumerate(drawings):
        inputs |= {f"svg{number}": drawing.svg, f"title{number}": drawing.title}
        inputs |= {f"width{number}": repr(drawing.width), f"height{number}": repr(drawing.height)}
    source = "#set document(title: sys.inputs.title, date: none)\n" + "".join(page_of(n) for n in range(len(drawings)))
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    return typst.compile(source.encode(), format=form, sys_inputs=inputs, font_paths=fonts, ppi=dots_per_inch)
