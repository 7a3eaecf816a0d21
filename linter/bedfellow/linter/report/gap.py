"""What could fill a gap, in words and as data."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import filled, left_out, told, year
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.table import share, table
from bedfellow.rules.words import listed, metres, months

if TYPE_CHECKING:
    from bedfellow.linter.repair.gap import Filler, Fillers, Place


def in_words(offered: Place, found: Fillers) -> str:
    """The place, a table of plants, and what was left out and why."""
    parts = [filled(_offer(offered))]
    if found.good:
        rows = [
            (
                filler.candidate.traits.name, share(filler.fit), filler.number,
                f"{metres(round(filler.height, 2))} × {metres(round(filler.spread, 2))}",
                year(filler.months), _also(filler),
            )
            for filler in found.good
        ]  # fmt: skip
        parts.append(table(("plant", "fit", "number", "height × spread", "to look at", "besides"), rows))
    else:
        parts.append("No plant of the store is known to suit this place.\n")
    parts += [filled(text) for text in left_out(found.refused)]
    if found.left:
        parts.append(filled(f"{found.left:,} more would have room, and were not judged."))
    return "\n".join([*parts, filled(CAUTION)])


def _offer(offered: Place) -> str:
    x, y = offered.at
    parts = [f"room for {metres(round(offered.room, 2))} across in season 10"]
    if isfinite(offered.headroom):
        parts.append(f"{metres(round(offered.headroom, 2))} of height below {offered.under}")
    if offered.june is not None and offered.share is not None:
        words = f" ({' or '.join(offered.light)})" if offered.light else ""
        parts.append(f"{offered.june:.1f} hours of sun at midsummer, {offered.share:.0%} of the open site's{words}")
    soil = offered.soil
    if soil.ph:
        parts.append(f"pH {soil.ph[0]:g}" + (f" to {soil.ph[1]:g}" if soil.ph[1] > soil.ph[0] else ""))
    parts += [soil.moisture] if soil.moisture else []
    if offered.months:
        parts.append(f"the border has least to look at in {months(sorted(offered.months))}")
    return f"At ({x:g}, {y:g}): {'; '.join(parts)}."


def _also(filler: Filler) -> str:
    gone = sorted({finding.code for finding in filler.outcome.gone})
    parts = ["in the border already"] if filler.known else []
    return "; ".join(parts + ([f"clears {listed(gone)}"] if gone else []))


def as_data(offered: Place, found: Fillers) -> str:
    """The same as JSON."""
    soil = offered.soil
    return as_json(
        {
            "place": {
                "at": offered.at, "room": round(offered.room, 3),
                "headroom": round(offered.headroom, 3) if isfinite(offered.headroom) else None, "under": offered.under or None,
                "june_hours": _rounded(offered.june), "midday_hours": _rounded(offered.midday),
                "share_of_beam": _rounded(offered.share), "light": offered.light, "ph": soil.ph, "moisture": soil.moisture,
                "texture": soil.texture, "poorest_months": offered.months,
            },
            "caution": CAUTION,
            "plants": [_row(filler) for filler in found.good],
            "refused": [_row(filler) for filler in found.refused],
            "not_judged": found.left,
        }
    )  # fmt: skip


def _row(filler: Filler) -> dict[str, object]:
    return {
        "name": filler.candidate.traits.name, "fit": filler.fit, "number": filler.number, "height": round(filler.height, 2),
        "spread": round(filler.spread, 2), "light": filler.candidate.traits.words("light"), "months": filler.months,
        "in_the_border": filler.known, "new": [told(finding) for finding in filler.outcome.new],
        "gone": [told(finding) for finding in filler.outcome.gone],
    }  # fmt: skip


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 2)
