"""LIGHT-03 and LIGHT-08: shade that comes with the years, and shade in which nothing grows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.light.exposure import SHADE, SUN, Year, early, in_leaf_at_midsummer, judged, through_the_years

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

YOUNG, GROWN = (1, 3), 10
DATED = (5, 7, GROWN)  # seasons by which the loss is dated
SPREADING = 3  # step of root competition


def becomes_shaded(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants full sun, has it when young, and loses it within ten years."""
    if border.plan.site.latitude is None:
        return  # LIGHT-01 says so
    # The same plants as LIGHT-01 judges, so that their light is worked out once.
    lovers = [p for p in border.plantings if set(p.traits.words("light")) == {SUN} and judged(p)]
    shaded = [
        planting
        for planting, years in through_the_years(border, lovers, (YOUNG[1], GROWN))
        if len(years) == 2
        and not _want(border, planting, years[0], limits)
        and _want(border, planting, years[1], limits)
        and border.present(planting, GROWN)
    ]
    for planting, years in through_the_years(border, shaded, (YOUNG[0], *DATED)):
        if _want(border, planting, years[0], limits) or round(_lost(years[0], years[-1]), 2) < limits["fall"]:
            continue
        year, case = next((year, case) for year in years[1:] if (case := _want(border, planting, year, limits)))
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "season": year.season, "hours": year.june, "share": year.share,
             "spring_hours": year.march, "before": years[0].june, "spring_before": years[0].march,
             "midsummer": "21 December" if border.south else "21 June", "spring": "15 September" if border.south else "15 March",
             "half_year": "October to March" if border.south else "April to September"},
            case=case,
        )  # fmt: skip


def _want(border: Border, planting: Planting, year: Year, limits: Mapping[str, Any]) -> str:
    """When it gets too little: summer or spring; empty for never."""
    if in_leaf_at_midsummer(border, planting) and (year.june < limits["hours"] or year.share < limits["share"]):
        return "summer"
    return "spring" if early(border, planting) and year.march < limits["spring_hours"] else ""


def _lost(young: Year, grown: Year) -> float:
    """The greatest part that is lost of what it had: of its hours in June or March, or of its share."""
    pairs = ((young.june, grown.june), (young.march, grown.march), (young.share, grown.share))
    return max(1 - after / before if before else 0.0 for before, after in pairs)


def nothing_grows(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that gets next to no sun, amid the roots of a tree."""
    if border.plan.site.latitude is None:
        return  # LIGHT-01 says so
    rooted = [(p, tree) for p in border.plantings if p.points and _grows(p) and (tree := _tree_over(border, p))]
    lit = border.light([planting for planting, _ in rooted], GROWN)
    for planting, (title, path) in rooted:
        row = lit.get(planting.number)
        if row is None or round(row[3], 2) >= limits["share"] or not border.present(planting, GROWN):
            continue
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "share": round(row[3], 2), "tree": title, "season": GROWN}, ((path, "the tree"),),
        )  # fmt: skip


def _grows(planting: Planting) -> bool:
    """It needs sun of its own: not what is made for dry shade, nor what is up while the tree is bare."""
    made_for_it = planting.traits.yes("bears_dry_shade") and SHADE in planting.traits.words("light")
    return judged(planting) and planting.life_form not in ("bulb", "tree") and not made_for_it


def _tree_over(border: Border, planting: Planting) -> tuple[str, Any] | None:
    """Title and path of a tree among whose roots, as far as its crown reaches, the middle member stands."""
    here = planting.points[len(planting.points) // 2]
    for standing in border.retained:
        if standing.is_tree and dist(here, standing.kept.at) <= (standing.reach or 0.0):
            return standing.title, standing.kept.path
    for tree in border.plantings:
        crown = border.crown(tree, GROWN)
        if tree.life_form != "tree" or tree is planting or crown is None:
            continue
        if tree.traits.step("root_competition") == SPREADING and any(
            dist(here, p) <= crown.greatest_radius for p in tree.points
        ):
            return tree.title, tree.path
    return None
