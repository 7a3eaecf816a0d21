"""Sizes of plants in a plan, from planting on."""

from __future__ import annotations

import pytest

from bedfellow.rules.border.conditions import thrift
from bedfellow.rules.border.stature import Size
from bedfellow.traits_db.snapshot import Store

SHRUB = "- {{key: A, name: Viburnum tinus, at: [5, 3]{more}}}\n"


def sizes(grow, line, years=range(21), **more):  # type: ignore[no-untyped-def]
    border = grow(line, **more)
    return [border.size(border.by_key["A"], year) for year in years]


def test_no_unpruned_woody_plant_shrinks_and_ranges_stay_in_order(grow, store: Store) -> None:  # type: ignore[no-untyped-def]
    stated = ["", ", supplied: 25 L", ", supplied: 40-60 cm", ", supplied: 9 cm", ", supplied: 14-16 cm girth"]
    woody = ("tree", "shrub", "subshrub", "climber", "bamboo")
    found = store.find(store.names()[::4]).items()
    known = [name for name, traits in found if traits and traits.rank != "genus" and traits.word("life_form") in woody]
    lines = [f'- {{name: "{name}", at: [5, 3]{stated[n % 5]}}}\n' for n, name in enumerate(known)]
    border = grow("".join(lines), site=", exposure: exposed, fertility: poor")
    assert len(border.plantings) > 80
    for planting in border.plantings:
        if border.size(planting, 0) is None:
            continue
        before = Size((0, 0, 0), (0, 0, 0))
        for year in range(21):
            size = border.size(planting, year)
            for was, now in zip(before, size, strict=True):
                assert all(a <= b + 1e-12 for a, b in zip(was, now, strict=True)), (planting.title, year)
                assert 0 < now.low <= now.typical <= now.high
            before = size


def test_the_size_at_ten_is_that_of_the_record(grow, store: Store) -> None:  # type: ignore[no-untyped-def]
    traits = store.find(["Viburnum tinus"])["Viburnum tinus"]
    assert traits
    for more in ("", ", supplied: 3 L"):
        (ten,) = sizes(grow, SHRUB.format(more=more), [10])
        assert ten.height == pytest.approx(traits.measure("height_10"))
    assert sizes(grow, SHRUB.format(more=", supplied: 25 L"), [10])[0].height.typical > ten.height.typical


def test_the_plan_has_the_last_word_on_sizes(grow) -> None:  # type: ignore[no-untyped-def]
    line = SHRUB.format(more=", traits: {height: {value: 1.2, reason: a dwarf}}")
    poor = sizes(grow, line, site=", exposure: seafront, fertility: poor")
    assert poor[20].height == pytest.approx((0.9, 1.2, 1.5), rel=0.05) and poor[10].height.typical <= 1.2


def test_herbs_rise_in_their_seasons(grow, store: Store) -> None:  # type: ignore[no-untyped-def]
    border = grow(
        "- {key: D, name: Digitalis purpurea, at: [2, 2]}\n- {key: N, name: Narcissus 'Tête-à-tête', at: [4, 2]}\n"
        "- {key: P, name: Paeonia lactiflora 'Sarah Bernhardt', at: [6, 2], supplied: 10 L}\n"
    )
    first, then = (border.size(border.by_key["D"], season).height.typical for season in (1, 2))
    assert (first, then) == (0.25, 1.4), "a rosette in its first year"
    bulb = store.find(["Narcissus 'Tête-à-tête'"])["Narcissus 'Tête-à-tête'"]
    assert bulb and border.size(border.by_key["N"], 1).height == bulb.measure("height")
    spreads = [border.size(border.by_key["P"], season).spread.typical for season in range(7)]
    assert spreads == sorted(spreads) and spreads[0] == pytest.approx(1.2 * 0.28) and spreads[3] < spreads[6]


@pytest.mark.parametrize(
    ("name", "site", "height", "spread"),
    [
        ("Viburnum tinus", {}, 1, 1),
        ("Viburnum tinus", {"exposure": "open", "fertility": "moderate"}, 1, 1),
        ("Viburnum tinus", {"exposure": "seafront", "fertility": "poor"}, 0.8 * 0.85, 0.85),
        ("Viburnum tinus", {"soil_depth": 0.2}, 0.85, 0.85),
        ("Viburnum tinus", {"soil_depth": 0.2, "added_topsoil": 0.2}, 1, 1),
        ("Quercus robur", {"exposure": "exposed", "fertility": "poor"}, 1, 1),
        ("Verbena bonariensis", {"fertility": "rich"}, 1.1, 1.1),
    ],
)
def test_soil_and_wind(store: Store, name: str, site: dict[str, object], height: float, spread: float) -> None:
    from bedfellow.schema.plan import Site

    traits = store.find([name])[name]
    assert traits
    assert thrift(Site(("site",), **site), traits, traits.word("life_form") != "perennial") == pytest.approx(
        (height, spread)
    )  # type: ignore[arg-type]
