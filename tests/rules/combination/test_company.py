"""Plants on a list together: real plants of which it is known in the trade how they get on."""

from __future__ import annotations

from math import sqrt

import pytest

from bedfellow.rules.combination.combination import combined
from bedfellow.rules.combination.company import collapses, hosts, under_shrubs, vigour
from bedfellow.rules.combination.ratio import AREAS, portions
from bedfellow.rules.combination.seasons import delivery, interest, overlaps
from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.snapshot import Store

ALLIUM, CRANESBILL, SNOWDROP = "Allium hollandicum 'Purple Sensation'", "Geranium macrorrhizum", "Galanthus nivalis"


def of(store: Store, *names: str) -> list[TaxonTraits]:
    found = store.find(names)
    assert all(found.values()), found
    return [traits for name in names if (traits := found[name]) is not None]


def test_a_masker_is_up_and_high_enough_while_the_leaves_die(store: Store) -> None:
    (dying,) = collapses(of(store, ALLIUM, CRANESBILL, SNOWDROP))
    assert [masker.name for masker in dying.maskers] == [CRANESBILL] and dying.start < dying.end
    alone = list(collapses(of(store, ALLIUM, SNOWDROP)))
    assert [one.name for one in alone] == [ALLIUM] and not alone[0].maskers


def test_bulbs_climbers_and_the_vigorous(store: Store) -> None:
    # Under a hornbeam that is bare in February a snowdrop has its light; under a yew it has none.
    shares = {
        one.host: (one.share, one.wanted)
        for one in under_shrubs(of(store, SNOWDROP, "Carpinus betulus", "Taxus baccata"))
    }
    assert (
        shares["Carpinus betulus"][0] >= shares["Carpinus betulus"][1]
        and shares["Taxus baccata"][0] < shares["Taxus baccata"][1]
    )
    carried = hosts(
        of(store, "Clematis montana", "Clematis 'Étoile Violette'", "Cornus mas", "Lavandula angustifolia 'Hidcote'")
    )
    assert carried["Clematis 'Étoile Violette'"] == ("Cornus mas",) and carried["Clematis montana"] == ()
    thugs = {
        one.strong: one
        for one in vigour(
            of(store, "Euphorbia griffithii 'Fireglow'", "Paeonia lactiflora 'Sarah Bernhardt'", CRANESBILL)
        )
    }
    assert (
        "Paeonia lactiflora 'Sarah Bernhardt'" in thugs["Euphorbia griffithii 'Fireglow'"].weak
        and CRANESBILL not in thugs
    )


def test_numbers_fill_the_ground(store: Store) -> None:
    plants = of(store, CRANESBILL, "Salvia nemorosa 'Caradonna'", "Calamagrostis × acutiflora 'Karl Foerster'", ALLIUM)
    found = {portion.name: portion for portion in portions(plants)}
    assert (
        sum(portion.share or 0 for portion in found.values()) == pytest.approx(1, abs=0.01)
        and found[ALLIUM].share is None
    )
    for portion in found.values():
        assert portion.apart == pytest.approx(sqrt(2 / sqrt(3) / portion.per_m2), abs=0.006)  # triangles of equal sides
        assert list(portion.numbers) == sorted(portion.numbers) and len(portion.numbers) == len(AREAS)
    # On 5 m² the plants that fill the ground do so, but for the rounding of each.
    filled = sum(portion.numbers[2] / portion.per_m2 for portion in found.values() if portion.share)
    assert filled == pytest.approx(5, abs=0.5)


def test_months_flowers_and_delivery(store: Store) -> None:
    plants = of(store, SNOWDROP, CRANESBILL, "Symphyotrichum novae-angliae", ALLIUM)
    months = interest(plants)
    assert months[2] and SNOWDROP in months[2] and SNOWDROP not in months[6]
    together = {(one.first, one.second): one.chance for one in overlaps(plants)}
    assert (SNOWDROP, "Symphyotrichum novae-angliae") not in together and together[CRANESBILL, ALLIUM] > 0.5
    week = delivery(plants)
    assert week is None or 1 <= week.week <= 52


def test_what_would_complete_it_bears_the_same_site(store: Store) -> None:
    found = combined(of(store, CRANESBILL, "Salvia nemorosa 'Caradonna'"), store)
    assert not found.leave_out and found.site is not None and "for the top layer" in found.offers
    for want, names in found.offers.items():
        assert names, want
        more = combined([*found.plants, *of(store, *names)], store)
        assert not more.leave_out, want
    torn = combined(of(store, "Hosta 'Halcyon'", "Lavandula angustifolia 'Hidcote'", CRANESBILL), store)
    assert len(torn.leave_out) == 1 and CRANESBILL not in torn.leave_out
