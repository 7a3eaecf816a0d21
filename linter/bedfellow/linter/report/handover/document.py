"""The pack as one document to print (PDF), laid out by typst after ``document.typ`` with the typeface of the drawings."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.drawings import drawn
from bedfellow.linter.report.drawings.sheet import CannotDraw
from bedfellow.linter.report.drawings.typeface import FONTS
from bedfellow.linter.report.handover import bulb_overlay, pages_care, pages_notes, pages_planting, parts
from bedfellow.rules.words import month

if TYPE_CHECKING:
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.linter.report.drawings.sheet import Drawing
    from bedfellow.linter.report.handover.pack import Pack

LAYOUT = Path(__file__).with_name("document.typ")
UPRIGHT, LANDSCAPE = "a4", "a4l"
SECTIONS = (
    ("Setting out", UPRIGHT, pages_planting.setting_out),
    ("Schedules", LANDSCAPE, pages_planting.schedules),
    ("What there is to look at", UPRIGHT, pages_planting.looked_at),
    ("Tasks", UPRIGHT, pages_care.tasks),
    ("Watering", UPRIGHT, pages_care.watered),
    ("Pruning and cutting back", UPRIGHT, pages_care.cut),
    ("Cautions", UPRIGHT, pages_notes.dangers),
    ("What will look empty, and when", UPRIGHT, pages_planting.gaps),
    ("What this plan stands on", UPRIGHT, pages_notes.grounds),
)
SUMMER, WINTER = 6, 2  # months in the north, in which it is drawn from the front
SHORT = 70  # letters of the title at the foot of a page


def drawings(pack: Pack, asked: Asked) -> Iterator[tuple[str, Drawing]]:
    """(heading, drawing) of each: plan, bulbs, front elevations, calendar. Raises CannotDraw where one cannot be drawn."""
    result, border = pack.result, pack.border
    yield "Planting plan", drawn("plan", result, asked)
    if bulb_overlay.bulbs(border):
        yield "Bulbs", bulb_overlay.drawn(result, asked)
    for northern in (SUMMER, WINTER):
        here = border.month_here(northern)
        yield f"Front elevation in {month(here)}", drawn("elevation", result, asked._replace(month=here))
    yield "Calendar of interest", drawn("calendar", result, asked)


def document(pack: Pack, asked: Asked) -> bytes:
    """The PDF; the same pack gives the same bytes. Raises CannotDraw; ImportError where typst is not installed."""
    import typst

    found: list[tuple[str, Drawing]] = []
    why = ""
    try:
        found.extend(drawings(pack, asked))
    except CannotDraw as reason:
        if asked.scale is not None:
            raise
        why = str(reason)
    inputs = {"pack": json.dumps(_data(pack, found, why), ensure_ascii=False)}
    inputs |= {f"svg{number}": parts.printable(picture.svg) for number, (_, picture) in enumerate(found)}
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    return typst.compile(LAYOUT.read_bytes(), format="pdf", sys_inputs=inputs, font_paths=fonts)


def _data(pack: Pack, found: list[tuple[str, Drawing]], why: str) -> dict[str, Any]:
    """Everything that the layout shows."""
    title = parts.shown(pack.title)
    pages: list[dict[str, Any]] = [
        {
            "heading": heading,
            "drawing": number,
            "width": picture.width,
            "height": picture.height,
            "alt": parts.shown(picture.title),
        }
        for number, (heading, picture) in enumerate(found)
    ]
    pages += [{"heading": heading, "page": page, "parts": list(told(pack))} for heading, page, told in SECTIONS]
    return {
        "title": title,
        "short": title if len(title) <= SHORT else f"{title[:SHORT]}…",
        "subtitle": "Handed over for planting and aftercare",
        "date": pack.result.today,
        "cover": list(_cover(pack, why)),
        "lacking": [parts.heading("What is lacking"), parts.listing(pack.lacking)] if pack.lacking else [],
        "sections": pages,
    }


def _cover(pack: Pack, why: str) -> Iterator[parts.Part]:
    border, result = pack.border, pack.result
    planted = f"To be planted in {month(pack.start[1])} {pack.start[0]}. " if border.plan.planted else ""
    plants = sum(row.total for row in pack.orders)
    yield parts.text(
        f"{planted}{plants:,} plants and bulbs of {len({row.name for row in pack.orders})} kinds, in {len(pack.orders)} lines. Date of this pack: {result.today}."
    )
    grave = sum(finding.level == "error" for finding in result.findings)
    if grave:
        yield parts.caution(
            f"{grave} {'fault is' if grave == 1 else 'faults are'} still to be put right before planting; see the last section."
        )
    if result.crashed:
        yield parts.caution("Some checks failed and judged nothing; see the last section.")
    if why:
        yield parts.caution(f"There are drawings wanting: {why}.")
    yield parts.caution(
        "Find buried services before digging. Trees, work at height and poisonous plants: see Cautions. Local rules come first."
    )
