"""A file in DXF, opened, and the unit that it is drawn in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bedfellow.linter.survey.drawn import BadDrawing
from bedfellow.schema.units import METRES

# $INSUNITS (DXF reference, HEADER section): the unit's word and its metres.
UNITS = {
    1: ("in", 0.0254), 2: ("ft", 0.3048), 4: ("mm", 0.001), 5: ("cm", 0.01), 6: ("m", 1.0), 7: ("km", 1000.0), 10: ("yd", 0.9144),
    14: ("dm", 0.1), 21: ("US survey ft", 1200 / 3937),
}  # fmt: skip
LARGEST = 512 << 20  # bytes


def opened(path: Path) -> Any:
    """The drawing as the library has it. Raises BadDrawing."""
    import logging

    import ezdxf

    try:
        if path.is_dir():
            raise BadDrawing(f"{path} is a folder")
        with path.open("rb") as file:
            head = file.read(512)
        if path.stat().st_size > LARGEST:
            raise BadDrawing(
                f"{path} is too large: {path.stat().st_size / 1048576:.0f} MiB; at most {LARGEST >> 20} MiB"
            )
    except OSError as error:
        raise BadDrawing(f"{path} cannot be read: {error.strerror}") from None
    if not head.strip():
        raise BadDrawing(f"{path} is empty")
    if head.startswith((b"AC10", b"AC1.", b"AC2.")):
        raise BadDrawing(f"{path} is a DWG; save it as DXF")
    first = head.lstrip(b"\xef\xbb\xbf").split(None, 1)[0]
    if not head.startswith(b"AutoCAD Binary DXF") and first not in (b"0", b"999"):
        raise BadDrawing(f"{path}:1: this is no DXF, which begins with a group code 0 or 999")
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # what matters of it is raised
    try:
        return ezdxf.readfile(path)  # type: ignore[attr-defined]
    except Exception as error:  # somebody else's file can fail in any of the library's parts
        said = str(error) or type(error).__name__
        raise BadDrawing(f"{path} cannot be read as DXF, or ends too early: {said}") from None


def unit_of(document: Any, path: Path, unit: str | None) -> tuple[str, float, str]:
    """(word of the unit, metres of it, how it is known). unit: as asked. Raises BadDrawing where nothing says it."""
    stated = document.header.get("$INSUNITS", 0)
    if unit is not None:
        said = f", though the drawing says {UNITS[stated][0]}" if stated in UNITS and UNITS[stated][0] != unit else ""
        return unit, METRES[unit], f"as asked{said}"
    if stated in UNITS:
        return *UNITS[stated], "as the drawing says ($INSUNITS)"
    why = (
        "does not say its unit ($INSUNITS is 0)"
        if not stated
        else f"is in a unit that no garden is drawn in ($INSUNITS is {stated})"
    )
    raise BadDrawing(f"{path} {why}: say it with --unit {', '.join(METRES)}{_size(document)}")


def _size(document: Any) -> str:
    from ezdxf import bbox

    box = bbox.extents(document.modelspace(), fast=True)
    return f"; what is drawn is {box.size.x:g} × {box.size.y:g} units" if box.has_data else ""
