"""All that can be said of a list of plants without a plan.

envelope.py (traits_db)  the site that all bear, or who must go        seasons.py  months, flowers together, delivery
company.py               layers, rivals, maskers, bulbs, climbers      ratio.py    numbers a square metre
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice
from typing import NamedTuple

from bedfellow.rules.border.interest import ORGANS
from bedfellow.rules.combination.company import (
    Collapse,
    Rival,
    Under,
    Vigour,
    collapses,
    hosts,
    layers,
    rivals,
    under_shrubs,
    vigour,
)  # fmt: skip
from bedfellow.rules.combination.ratio import GROUND, Portion, portions
from bedfellow.rules.combination.seasons import Delivery, Overlap, delivery, evergreen_share, interest, overlaps
from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import MONTHS
from bedfellow.traits_db.combination.envelope import Envelope, bears, envelope, fewest_to_leave_out
from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.search.asked import Asked, asked
from bedfellow.traits_db.search.search import candidates
from bedfellow.traits_db.snapshot import Store

NEEDS_A_PLAN = (
    "whether each has room, and how they grow into one another", "the light and the soil where each stands",
    "what hides what from where it is seen, and whether maskers stand in front", "shares of cover, frontage and skeleton",
    "supports, walls, roots, services and boundaries", "what children and pets can reach",
)  # fmt: skip
MOST_OFFERED = 3


class Combination(NamedTuple):
    """leave_out: names of the fewest without which the rest share a site; site: what the rest bear; unknown: of whom which
    factor is only assumed; offers: a want in words, to plants of the store that would meet it."""

    plants: tuple[TaxonTraits, ...]
    leave_out: tuple[str, ...]
    site: Envelope | None
    unknown: Mapping[str, tuple[str, ...]]
    layers: Mapping[str, Sequence[str]]
    rivals: tuple[Rival, ...]
    vigour: tuple[Vigour, ...]
    interest: Mapping[int, Sequence[str]]
    evergreen: float
    collapses: tuple[Collapse, ...]
    under: tuple[Under, ...]
    hosts: Mapping[str, tuple[str, ...]]
    overlaps: tuple[Overlap, ...]
    delivery: Delivery | None
    portions: tuple[Portion, ...]
    offers: Mapping[str, tuple[str, ...]]


def combined(plants: Sequence[TaxonTraits], store: Store) -> Combination:
    """What is to be said of plants on a list; there is one or more."""
    leave = set(fewest_to_leave_out(plants))
    site = envelope([traits for place, traits in enumerate(plants) if place not in leave])
    months, by_layer = interest(plants), layers(plants)
    return Combination(
        tuple(plants),
        tuple(traits.name for place, traits in enumerate(plants) if place in leave),
        site,
        {traits.name: unknown for traits in plants if (unknown := bears(traits).unknown)},
        by_layer,
        tuple(rivals(plants)),
        tuple(vigour(plants)),
        months,
        evergreen_share(plants),
        tuple(collapses(plants)),
        tuple(under_shrubs(plants)),
        hosts(plants),
        tuple(overlaps(plants)),
        delivery(plants),
        tuple(portions(plants)),
        _offers(store, plants, site, months, by_layer),
    )


def _offers(
    store: Store, plants: Sequence[TaxonTraits], site: Envelope | None, months: Mapping[int, Sequence[str]],
    by_layer: Mapping[str, Sequence[str]],
) -> dict[str, tuple[str, ...]]:  # fmt: skip
    """What would complete the list: for each empty month and each missing layer, plants that bear the same site."""
    if site is None:
        return {}
    asks, names = _asks(site), {traits.name for traits in plants}

    def fitting(further: Sequence[Asked], where: str = "") -> list[str]:
        found = candidates(store, [*asks, *further], (), where)
        return [one.traits.name for one in found if one.traits.name not in names]

    offers = {}
    for month in (month for month, some in months.items() if not some):
        wants = ([asked(f"{organ.replace('_', ' ')} {MONTHS[month - 1]}")] for organ in ORGANS)
        several = (name for want in wants for name in fitting(want))
        offers[f"to look at in {MONTHS[month - 1]}"] = tuple(dict.fromkeys(islice(several, MOST_OFFERED)))
    for where in (where for where in GROUND if not by_layer.get(where)):
        offers[f"for the {where} layer"] = tuple(fitting((), where)[:MOST_OFFERED])
    return offers


def _asks(site: Envelope) -> list[Asked]:
    """The site in the words of a search; the middle of what the list bears, so that there is something to find."""
    ph = sum(site.ph) / 2
    steps = trait_table().traits["moisture"].scale
    moisture = steps[round(sum(site.moisture) / 2)].partition(":")[0]
    texts = [f"light {' or '.join(site.light)}", f"ph tolerated {ph:g}", f"moisture {moisture}"]
    texts += [f"minimum temperature {site.coldest[0]:g}"] if site.coldest else []
    return [asked(text) for text in texts]
