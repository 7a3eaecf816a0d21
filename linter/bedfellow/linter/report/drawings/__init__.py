"""Pictures of a plan, all drawn from the border that the checks judge.

    sheet.py     SVG in mm, line weights          typeface.py  letters, widths, botanical names
    frame.py     metres to mm, scales, papers     columns.py   what is told beside a picture, and the title strip
    asked.py     what a person asks of a picture  paper.py     PNG and PDF
    signs.py, legend.py, setting.py, plants.py, names.py, findings.py, compass.py    what a plan is made of
    shown.py, standing.py    what is seen of a plant          grid.py    a table of months
    plan.py, elevation.py, calendar.py, colours.py, light.py, ground.py, bulbs.py, sizes.py    a picture each

A picture is a function ``drawn(result, asked) -> Drawing``, which raises CannotDraw, in words, where there is none.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.linter.report.drawings.sheet import Drawing

    Picture = Callable[[Result, Asked], Drawing]

PICTURES: Mapping[str, str] = {
    "plan": "planting plan to scale",
    "elevation": "front elevation to scale, in a month",
    "calendar": "what there is to look at through the year",
    "colours": "colours that are seen together, month by month",
    "light": "light on the ground",
    "ground": "bare soil by year",
    "bulbs": "leaves of bulbs week by week, and what hides them",
    "sizes": "the plan as it grows",
}
"""Name of a picture, which is that of its module → what it shows."""


def drawn(name: str, result: Result, asked: Asked) -> Drawing:
    """A picture by its name. Raises CannotDraw."""
    picture: Picture = import_module(f"{__name__}.{name}").drawn
    return picture(result, asked)
