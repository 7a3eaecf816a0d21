"""The page put together: one HTML file that holds its data, its scripts and its style, and asks nothing of any network."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from bedfellow.linter.report.browser import sections
from bedfellow.linter.report.browser.calendar import calendar
from bedfellow.linter.report.browser.data import told
from bedfellow.linter.report.browser.findings import entries
from bedfellow.linter.report.browser.growth import SEASONS
from bedfellow.linter.report.browser.names import MOST_SIGNS, all_named, signs
from bedfellow.linter.report.browser.plan import drawing
from bedfellow.linter.report.browser.text import data, said
from bedfellow.linter.report.parts import title_of
from bedfellow.rules.words import metres, month

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.rules.border.border import Border

ASSETS = Path(__file__).with_name("assets")
SCRIPTS = ("look-up", "state", "plan", "elevation", "choosing", "table", "sliders", "bodies", "solid", "start")
"""In the order in which they run; each may use the names of those before it."""
_PLACE = re.compile(r"\[\[([a-z-]+)\]\]")


class NothingToShow(ValueError):
    """Why a page cannot be made, in words."""


def page(result: Result, season: int = 10, tell: Callable[[int], None] = lambda done: None) -> str:
    """The whole page. season: with which it opens; tell: is told how many of the `SEASONS` are worked out.

    Raises NothingToShow where the file is no plan or no plant in it is known, ValueError for a season that is not among them.
    """
    from bedfellow.linter.engine import unreadable

    border = result.border
    if border is None:
        raise NothingToShow(f"it cannot be read as a plan: {unreadable(result.faults.values())}")
    if not border.standing:
        raise NothingToShow("no plant in it was recognised")
    if season not in SEASONS:
        raise ValueError(f"the page has the seasons {', '.join(map(str, SEASONS))}, not {season}")
    listed = entries(result)
    figures = told(result, listed, season, tell)
    heading = title_of(result)
    style, solid, script = _asset("page.css"), _asset("solid.min.js"), _script()
    parts = {
        "style-hash": _hash(style), "script-hashes": f"{_hash(solid)} {_hash(script)}", "style": style, "solid": solid, "script": script,
        "title": said(heading), "heading": said(heading), "summary": sections.summary(result), "failures": sections.failures(result),
        "season": str(season), "season-index": str(SEASONS.index(season)), "last-season": str(len(SEASONS) - 1),
        "month": str(figures["month"]), "month-name": month(figures["month"]),
        "plan": drawing(border, listed), "findings": sections.findings(listed, border), "views": _views(border),
        "signs": " checked" if len(list(signs(listed))) <= MOST_SIGNS else "",
        "unnamed": "" if all_named(border) else '<p class="quiet">There are too many plants to name them all: a plant that is chosen shows its key.</p>',
        "elevation-step": _step(border), "calendar": calendar(border), "assumptions": sections.assumptions(result),
        "light-says": _light(border, figures["light"]), "unjudged": sections.unjudged(result),
        "acceptances": sections.acceptances(result.accepted), "cautions": sections.cautions(result), "version": said(version("bedfellow")),
        "licence": said_lines(_asset("solid.licence.txt")), "data": data(figures),
    }  # fmt: skip
    # In one pass: what a plan says may look like a place and stays as it is.
    return _PLACE.sub(lambda place: parts[place[1]], _asset("page.html"))


@cache
def _asset(name: str) -> str:
    return (ASSETS / name).read_text("utf-8")


@cache
def _script() -> str:
    """The scripts as one, so that the names of one are known to those after it and to nobody else."""
    return '"use strict";\n(() => {\n' + "\n".join(_asset(f"{name}.js") for name in SCRIPTS) + "})();\n"


def _hash(text: str) -> str:
    """As a Content-Security-Policy allows the inline text by its SHA-256."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def said_lines(text: str) -> str:
    return "\n".join(said(line) for line in text.splitlines())


def _views(border: Border) -> str:
    places = [(str(number), view.name) for number, view in enumerate(border.views)]
    return "".join(
        f'<label><input type="radio" name="view" value="{value}"{" checked" if number == 0 else ""}> {said(name)}</label> '
        for number, (value, name) in enumerate([*places, ("above", "above, aslant")])
    )


def _step(border: Border) -> str:
    """cm between two heights of the elevation as the page tells them."""
    from bedfellow.linter.report.browser.data import MOST_COLUMNS

    left, right = border.frontage()
    count = max(1, round((right - left) / 0.1))
    return f"{100 * (right - left) / count * -(-count // MOST_COLUMNS):.0f}"


def _light(border: Border, light: dict[str, object] | None) -> str:
    if light is None:
        return "<li>Hours of sun are not shown: the plan states no latitude, or no bed.</li>"
    faces = (
        ""
        if border.plan.site.faces is not None or border.plan.site.north is not None
        else " The front is taken to face south."
    )
    size = light["size"]
    assert isinstance(size, float)
    return (
        f"<li>Hours of sun are those above 5° on a clear day, a hand above the ground, in squares of {metres(size)}, the edge of a shadow known to "
        f"about eight minutes, each weighted by what passes the crowns on its way. Crowns have their full height of the season there; what has not half of it counts as not there.{faces}</li>"
    )
