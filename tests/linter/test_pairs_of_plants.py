"""Pairs of real plants: of the one a check must speak, of the other it must not."""

from __future__ import annotations

import pytest

SITE = "latitude: 51.6, longitude: -1.3, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9"
HEAD = f"format: 1\nsite: {{{SITE}, jurisdiction: %s}}\nborder: {{outline: [[0, 0], [20, 0], [20, 20], [0, 20]]}}\n"


def drift(name: str, number: int = 5, more: str = "") -> str:
    return (
        f'- {{key: A, name: "{name}", outline: [[4, 4], [5.5, 4], [5.5, 5.5], [4, 5.5]], quantity: {number}{more}}}\n'
    )


def one(name: str, key: str = "A", at: str = "[5, 5]", more: str = "") -> str:
    return f'- {{key: {key}, name: "{name}", at: {at}{more}}}\n'


BULBS_CUT = "tasks: [{task: mow the leaves down, plants: [A], month: 4}]\n"
RED_STEMS, JAPANESE = "Cornus alba 'Sibirica'", "Acer palmatum 'Sango-kaku'"
BLEEDING_HEART, ANEMONE = "Lamprocapnos spectabilis", "Anemone × hybrida 'Honorine Jobert'"


@pytest.mark.parametrize(
    ("code", "plants", "more", "jurisdiction", "told"),
    [
        ("VIGOUR-03", one("Phyllostachys aurea"), "", "GB", True),
        ("VIGOUR-03", one("Fargesia murielae"), "", "GB", False),
        ("VIGOUR-04", one("Gunnera tinctoria"), "", "DE", True),
        ("VIGOUR-04", one("Gunnera tinctoria"), "", "US-MA", False),
        ("WINTER-05", one(RED_STEMS), "", "GB", True),
        ("WINTER-05", one(RED_STEMS, more=", cut_back: {to: 15 cm, every: 1, month: 3}"), "", "GB", False),
        ("WINTER-05", one(JAPANESE), "", "GB", False),
        ("BULB-02", drift(BLEEDING_HEART), "", "GB", True),
        ("BULB-02", drift(BLEEDING_HEART) + drift(ANEMONE).replace("key: A", "key: B"), "", "GB", False),
        ("BULB-04", drift("Narcissus 'Carlton'", 40), BULBS_CUT, "GB", True),
        ("BULB-04", drift("Galanthus nivalis", 80), BULBS_CUT.replace("month: 4", "month: 7"), "GB", False),
        ("SEASON-08", one("Ilex verticillata"), "", "GB", True),
        ("SEASON-08", one("Ilex aquifolium 'J.C. van Tol'"), "", "GB", False),
        ("SEASON-08", one("Skimmia japonica 'Nymans'"), "", "GB", True),
        ("SEASON-08", one("Skimmia japonica 'Nymans'") + one("Skimmia japonica 'Rubella'", "B", "[7, 5]"), "", "GB", False),
        ("CARE-04", one("Delphinium 'Blue Nile'"), "", "GB", True),
        ("CARE-04", one("Veronicastrum virginicum"), "", "GB", False),
        ("STOCK-06", one("Tulipa 'Ballerina'", more=", planted: 2026-08"), "", "GB", True),
        ("STOCK-06", one("Tulipa 'Ballerina'", more=", planted: 2026-11"), "", "GB", False),
    ],
)  # fmt: skip
def test_a_pair(lint_plants, code, plants, more, jurisdiction, told):  # type: ignore[no-untyped-def]
    result = lint_plants(plants, head=HEAD % jurisdiction, more=more, only=(code,))
    assert not result.crashed
    assert not result.border.unknown_names
    assert bool([finding for finding in result.findings if finding.code == code]) is told, (
        [finding.message for finding in result.findings],
        [entry.wanting for entry in result.unjudged],
    )
