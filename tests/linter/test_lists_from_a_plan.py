"""Checks asserted from a plan file with real plants, against published lists and distances."""

from __future__ import annotations

import pytest

from bedfellow.linter.engine import Result

SITE = "format: 1\nsite: {latitude: 51.6, faces: S, ph: 6.8, moisture: moist well-drained, minimum_temperature: -9, shrinkable: yes}\n"
BED = "border: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]]}\n"
HOUSE = (
    "structures:\n- {key: H, kind: building, outline: [[0, 20], [20, 20], [20, 28], [0, 28]], height: 6, wires: yes}\n"
)


def found(result: Result, code: str) -> list[tuple[str, tuple[str, ...]]]:
    assert not result.crashed
    return [(f.level, f.keys) for f in result.findings if f.code == code]


# NHBC, guidance for homeowners: over 3 m from the house on clay.
@pytest.mark.parametrize(
    ("name", "fires"),
    [
        ("Pyracantha 'Orange Glow'", True),
        ("Cotoneaster horizontalis", True),
        ("Hedera helix", True),
        ("Parthenocissus quinquefolia", True),
        ("Wisteria sinensis", True),
        ("Clematis montana", False),
    ],
)
def test_thirsty_wall_shrubs(lint_plants, name, fires):  # type: ignore[no-untyped-def]
    for y, expected in ((17.1, fires), (17.0, False)):
        result = lint_plants(f'- {{key: P, name: "{name}", at: [10, {y}]}}\n', head=SITE + BED + HOUSE)
        assert bool(found(result, "TREE-03")) is expected


# Yew and laburnum kill horses and cattle, by every published list that the records name; a hornbeam is on none.
@pytest.mark.parametrize(
    ("name", "level"),
    [
        ("Taxus baccata", "error"),
        ("Laburnum × watereri 'Vossii'", "error"),
        ("Ligustrum ovalifolium", "warning"),
        ("Carpinus betulus", ""),
    ],
)
def test_beside_a_paddock(lint_plants, name, level):  # type: ignore[no-untyped-def]
    head = SITE + BED + "boundaries:\n- {from: [0, 20], to: [20, 20], beyond: paddock}\n"
    assert found(lint_plants(f"- {{key: P, name: {name}, at: [10, 18]}}\n", head=head), "SAFE-02") == (
        [(level, ("P",))] if level else []
    )


# What is sold for dry shade under trees, and what withers there.
@pytest.mark.parametrize(
    ("name", "fires"),
    [("Epimedium × perralchicum 'Fröhnleiten'", False), ("Geranium macrorrhizum", False), ("Astilbe 'Fanal'", True), ("Phlox paniculata 'David'", True)],
)  # fmt: skip
def test_under_an_old_birch(lint_plants, name, fires):  # type: ignore[no-untyped-def]
    birch = "retained:\n- {key: T, name: Betula pendula, at: [10, 10], height: 14, crown: 4, stems: [300 mm], action: keep}\n"
    result = lint_plants(f"- {{key: P, name: {name}, at: [11, 12]}}\n", head=SITE + BED + birch)
    assert bool(found(result, "SITE-07")) is fires


def test_snowdrops_under_an_oak_and_under_a_yew(lint_plants):  # type: ignore[no-untyped-def]
    """Bare branches leave snowdrops their light, by the eleven trees of Wilkinson 1992; a conifer does not."""
    under = "- {key: G, name: Galanthus nivalis, outline: [[8, 9.2], [12, 9.2], [12, 11], [8, 11]], quantity: 40}\n"
    for tree, expected in (("Quercus robur", []), ("Taxus baccata", [("warning", ("G",))])):
        head = (
            SITE
            + BED
            + f"retained:\n- {{key: T, name: {tree}, at: [10, 9], height: 12, crown: 7, clear_stem: 0.2, action: keep}}\n"
        )
        assert found(lint_plants(under, head=head), "LIGHT-04") == expected
