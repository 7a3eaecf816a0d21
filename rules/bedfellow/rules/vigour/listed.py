"""VIGOUR-04: plants that a list of invasive plants names where the garden lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.values import Listing

# Lists that bar planting itself. On the others the offence is to let the plant grow in the wild.
BARRING = ("eu-1143-2014", "eu-2025-1422")
# Members of the European Union by ISO 3166-1.
UNION = frozenset(
    [
        "AT",
        "BE",
        "BG",
        "CY",
        "CZ",
        "DE",
        "DK",
        "EE",
        "ES",
        "FI",
        "FR",
        "GR",
        "HR",
        "HU",
        "IE",
        "IT",
        "LT",
        "LU",
        "LV",
        "MT",
        "NL",
        "PL",
        "PT",
        "RO",
        "SE",
        "SI",
        "SK",
    ]
)
WILD = ("wild land", "water")
# By case, the gravest first.
LEVEL_OF: Mapping[str, Level] = {"barred": "error", "presumed": "warning", "near_wild": "warning", "listed": "note"}


def invasive(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Taxa on the jurisdiction's own lists: one finding a taxon, however many lines have it."""
    here, wild_land = border.plan.site.jurisdiction, border.plan.site.wild_land
    by_name: dict[str, list[Planting]] = {}
    for planting in border.plantings:
        listings = planting.traits.listings()
        if listings is None:
            yield Unjudged(planting.key, ("listings",), planting.path)
        elif listings and here is None:
            yield Unjudged(planting.key, ("the site's jurisdiction",), planting.path)
        elif listings:
            by_name.setdefault(planting.traits.name, []).append(planting)
    for name, plantings in by_name.items():
        applying = [entry for entry in plantings[0].traits.listings() or () if _applies(entry, here or "")]
        if not applying:
            continue
        near = min(inf if wild_land is None else wild_land, *(_to_wild(border, planting) for planting in plantings))
        judged = [(_case(entry, plantings[0], near <= limits["wild"]), entry) for entry in applying]
        case, entry = min(judged, key=lambda found: list(LEVEL_OF).index(found[0]))
        level = LEVEL_OF[case]
        if level == "error" and not plantings[0].traits.sourced("listings"):
            level = "warning"
        yield Finding(
            level, tuple(sorted(planting.key for planting in plantings)), plantings[0].path,
            {"plant": name if len(plantings) > 1 else plantings[0].title, "list": border.store.source(entry.list), "date": entry.date,
             "covers": entry.covers, "wild": limits["wild"], "lines": listed([planting.key for planting in plantings])},
            tuple((planting.path, planting.key) for planting in plantings[1:]), case=case,
        )  # fmt: skip


def _applies(entry: Listing, jurisdiction: str) -> bool:
    """The list is of this place: a state of the Union has the Union's lists, a part of a country its country's."""
    country = jurisdiction.upper().partition("-")[0]
    return entry.jurisdiction.upper() in (jurisdiction.upper(), country, "EU" if country in UNION else country)


def _to_wild(border: Border, planting: Planting) -> float:
    """Metres to wild land or water that is drawn; infinite where there is none."""
    drawn = (s.distance_to(point) for s in border.plan.surfaces if s.kind in WILD for point in planting.points)
    return min(drawn, default=inf)


def _case(entry: Listing, planting: Planting, wild: bool) -> str:
    """What the list means for this plant."""
    if entry.list in BARRING:
        # A hybrid falls under the Regulation if it could survive and reproduce; a cultivar is taken to fall under its species.
        of_its_own = planting.traits.rank not in ("cultivar", "group") or "cultivars" in entry.covers
        return "barred" if entry.covers != "hybrids" and of_its_own else "presumed"
    return "near_wild" if wild else "listed"
