"""The positions of a plan's plants as a table in CSV, a plant a row, for setting out or for a spreadsheet."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from bedfellow.linter.report.cad.placed import placed
from bedfellow.linter.report.plain import plain
from bedfellow.linter.survey.table import COLUMNS
from bedfellow.traits_db.exchange.rows import guarded

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border


def table(border: Border, season: int, separator: str) -> str:
    """A row for each member of each line, in metres to the millimetre from the plan's origin; size in the season."""
    stream = io.StringIO()
    writer = csv.writer(stream, delimiter=separator, lineterminator="\n")
    writer.writerow(COLUMNS)
    for one in placed(border, season):
        sizes = [f"{size:.2f}" if size is not None else "" for size in (one.spread, one.height)]
        for x, y in one.points:
            words = (guarded(plain(one.line.key)), guarded(plain(one.line.name)))
            writer.writerow((*words, f"{x + 0.0:.3f}", f"{y + 0.0:.3f}", one.line.number, *sizes, season))
    return stream.getvalue()
