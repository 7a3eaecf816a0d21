"""The calendar of interest: a row for each plant, a letter on its colour in each month that has something to look at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bedfellow.linter.report.browser.growth import MONTHS, interest, paint
from bedfellow.linter.report.browser.text import said
from bedfellow.rules.border.interest import green
from bedfellow.rules.words import listed
from bedfellow.schema.values import MONTHS as NAMES

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

ORGANS = {
    "flower": ("F", "flower"), "foliage_interest": ("L", "leaves worth looking at"), "autumn_colour": ("A", "autumn colour"),
    "fruit": ("R", "fruit"), "bark": ("B", "bark or stems"), "seedhead": ("S", "seedheads"), "winter_outline": ("W", "outline in winter"),
}  # fmt: skip
EVERGREEN = "E"


def calendar(border: Border) -> str:
    """A row for each plant with the months in which there is something to look at; signs are letters on the colour."""
    rows = [row for planting in border.of_the_bed if (row := _year(border, planting))]
    months = "".join(f'<th scope="col"><abbr title="{name}">{name[0]}</abbr></th>' for name in NAMES)
    signs = (*ORGANS.values(), (EVERGREEN, "evergreen leaves only"))
    key = "".join(f"<li><b>{letter}</b> {words}</li>" for letter, words in signs)
    return (
        f'<ul class="key">{key}</ul><div class="wide" role="region" aria-label="Calendar" tabindex="0"><table class="calendar"><caption class="hidden">What there is to look '
        f'at, by plant and month</caption><thead><tr><th scope="col">Plant</th>{months}</tr></thead><tbody>{"".join(rows)}</tbody></table></div>'
        if rows
        else "<p>No dates are known of these plants.</p>"
    )


def _year(border: Border, planting: Planting) -> str:
    looked_at = interest(border, planting)
    cells = []
    for number in MONTHS:
        here = [(organ, found) for organ, found in looked_at.items() if number in found["months"]]
        if here:
            letters = "".join(ORGANS[organ][0] for organ, _ in here)
            words = listed(
                [
                    ORGANS[organ][1] + (f" ({', '.join(found['colours'])})" if found["colours"] else "")
                    for organ, found in here
                ]
            )
            colour = next((value for _, found in here if (value := paint(found["colours"]))), "")
            swatch = (
                f'<svg viewBox="0 0 10 10" preserveAspectRatio="none" aria-hidden="true"><rect width="10" height="10" fill="{colour}"/></svg>'
                if colour
                else ""
            )
            ink = "light" if colour and _dark(colour) else "dark"
            cells.append(f'<td class="{ink}" title="{said(words)}">{swatch}<b>{letters}</b></td>')
        elif green(border, planting, number):
            cells.append(f'<td class="leafy" title="evergreen"><b>{EVERGREEN}</b></td>')
        else:
            cells.append("<td></td>")
    return f'<tr><th scope="row">{said(planting.traits.name)}<span class="code">{said(planting.key)}</span></th>{"".join(cells)}</tr>'


def _dark(colour: str) -> bool:
    """White letters read better on it than black ones (WCAG 2.2, relative luminance)."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return 1.05 / (light + 0.05) > (light + 0.05) / 0.05
