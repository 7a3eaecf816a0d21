"""Sizes of plants in a plan, from planting on."""

from __future__ import annotations

from itertools import pairwise

import pytest

from bedfellow.rules.border.conditions import thrift
from bedfellow.rules.border.growth import Size
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


def test_the_size_of_the_schedule_counts_where_the_line_states_none(grow) -> None:  # type: ignore[no-untyped-def]
    schedule = "schedule: [{key: A, quantity: 1, supplied: 25 L}]\n"
    ordered, (stated,) = (
        sizes(grow, SHRUB.format(more=""), [1], more=schedule),
        sizes(grow, SHRUB.format(more=", supplied: 25 L"), [1]),
    )
    assert ordered == [stated] != sizes(grow, SHRUB.format(more=""), [1])
    assert sizes(grow, SHRUB.format(more=", supplied: 25 L"), [1], more=schedule.replace("25", "2")) == [stated]


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
    bare = grow("- {key: P, name: Paeonia lactiflora 'Sarah Bernhardt', at: [6, 2], root_form: bare-root}\n")
    assert bare.crown(bare.by_key["P"], 0) is border.crown(border.by_key["N"], 0) is None
    spreads = [border.size(border.by_key["P"], season).spread.typical for season in range(7)]
    assert spreads == sorted(spreads) and spreads[0] == pytest.approx(1.2 * 0.28) and spreads[3] < spreads[6]


# Planted in autumn the first season is the next year's, in spring that of the year; in the south spring is in September.
@pytest.mark.parametrize(
    ("planted", "latitude", "month", "season"),
    [("2026-10", 51.6, (2027, 5), 1), ("2026-10", 51.6, (2027, 1), 1), ("2027-03", 51.6, (2027, 10), 1), ("2027-03", 51.6, (2030, 6), 4),
     ("2026-04", -41, (2026, 11), 1), ("2026-04", -41, (2027, 3), 1), ("2026-09", -41, (2027, 11), 2)],
)  # fmt: skip
def test_seasons_are_counted_from_planting(grow, planted, latitude, month, season) -> None:  # type: ignore[no-untyped-def]
    border = grow("- {name: Cornus mas}\n", latitude=latitude, planted=planted)
    assert border.season_of(month) == season


def test_what_is_planted_later_grows_later(grow) -> None:  # type: ignore[no-untyped-def]
    border = grow(SHRUB.format(more=", planted: 2028-11") + SHRUB.format(more=", planted: 2027-03").replace("A,", "B,"))
    late, same = border.by_key["A"], border.by_key["B"]
    assert [border.years(late, season) for season in (0, 2, 3)] == [-2, 0, 1] and border.years(same, 3) == 3
    assert border.size(late, 12) == border.size(same, 10) and not border.present(late, 2) and border.present(late, 3)


@pytest.mark.parametrize(("until", "last"), [("2028-10", 2), ("2029-02", 2), ("2029-05", 3), ("2027-03", 1)])
def test_temporary_plants_leave(grow, until: str, last: int) -> None:  # type: ignore[no-untyped-def]
    border = grow(SHRUB.format(more=f", until: {until}"))
    assert [season for season in range(6) if border.present(border.by_key["A"], season)] == list(range(last + 1))


def test_what_goes_out_in_may_has_no_leaves_before(grow) -> None:  # type: ignore[no-untyped-def]
    border = grow("- {key: A, name: Cosmos bipinnatus, at: [5, 3], grown_as: annual, out: 05-25}\n")
    assert not border.in_leaf(border.by_key["A"], 144) and border.in_leaf(border.by_key["A"], 146)


def test_short_lived_plants_die_out(grow) -> None:  # type: ignore[no-untyped-def]
    border = grow(
        "- {key: A, name: Lavandula angustifolia 'Hidcote', at: [5, 3]}\n- {key: V, name: Verbena bonariensis, at: [5, 2], status: allowed}\n"
    )
    assert border.present(border.by_key["A"], 8) and not border.present(border.by_key["A"], 20)
    assert border.present(border.by_key["V"], 20), "its seedlings stay"


@pytest.mark.parametrize(("since", "first"), [("6", 6), ("2032-03", 6), ("0", 0)])
def test_kept_to_a_size_from_a_year_on(grow, since: str, first: int) -> None:  # type: ignore[no-untyped-def]
    line = SHRUB.format(more=f", pruned_to: {{height: 0.9, width: 0.8, from: {since}, months: [6]}}")
    free, kept = sizes(grow, SHRUB.format(more="")), sizes(grow, line)
    assert kept[:first] == free[:first]
    for size, unpruned in zip(kept[first:], free[first:], strict=True):
        assert size.height.typical == min(0.9, unpruned.height.typical) and size.spread.high <= 0.8
    border = grow(line)
    before, after = (border.crown_on(border.by_key["A"], 6, day) for day in (150, 160))
    assert before.top == pytest.approx(free[6].height.typical if first == 6 else 0.9) and after.top == pytest.approx(
        0.9
    )


@pytest.mark.parametrize(("every", "cut"), [(1, range(2, 12)), (3, (4, 7, 10))])
def test_cut_to_the_ground(grow, every: int, cut) -> None:  # type: ignore[no-untyped-def]
    line = (
        f"- {{key: A, name: Cornus alba 'Sibirica', at: [5, 3], cut_back: {{to: 15 cm, every: {every}, month: 3}}}}\n"
    )
    border = grow(line)
    plant = border.by_key["A"]
    for season in range(1, 12):
        size, tops = border.size(plant, season), [border.crown_on(plant, season, day).top for day in (60, 75, 150, 230)]
        assert tops[0] == tops[3] == pytest.approx(size.height.typical)
        assert (tops[1] < 0.16 and tops[1] < tops[2] < tops[3]) is (season in cut)
        # Its pruned size, 1.5 m, in the season of the cut, twice that in the next.
        assert size.height.typical <= 1.5 * (1 + (season - 1) % every) or season <= every
    assert (
        grow(line.replace("cut_back: {to: 15 cm, every: 1, month: 3}", "coppiced: yes")).cut(plant) is not None
        or every > 1
    )


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


RETAINED = "retained: [{{key: T, name: {name}, at: [5, 2], action: {action}{more}}}]\n"


@pytest.mark.parametrize(
    ("name", "more", "now"),
    [
        ("Quercus robur", "height: 9, crown: [3, 3.5, 4, 3], clear_stem: 2.5", (9, 6.75)),
        ("Quercus robur", "height: 9", (9, 9)),  # 20 m by 20 m when grown
        ("Quercus robur", "crown: 4", (8, 8)),
        ("Quercus robur", "height: 26, crown: 15", (26, 30)),
        ("Quercus ignota", "height: 9, crown: 3", (9, 6)),
        ("Paeonia lactiflora 'Sarah Bernhardt'", "height: 0.9, crown: 0.4", (0.9, 0.8)),
    ],
)
def test_retained_plants_grow_on_from_their_size(grow, name: str, more: str, now: tuple[float, float]) -> None:  # type: ignore[no-untyped-def]
    border = grow(SHRUB.format(more=""), more=RETAINED.format(name=name, action="keep", more=f", {more}"))
    (plant,) = border.retained
    sizes_by_year = [border.size(plant, year) for year in range(21)]
    assert (sizes_by_year[0].height.typical, sizes_by_year[0].spread.typical) == pytest.approx(now)
    for was, size in pairwise(sizes_by_year):
        assert all(
            a <= b + 1e-12 for one, other in zip(was, size, strict=True) for a, b in zip(one, other, strict=True)
        )
    grows = name == "Quercus robur" and now[0] < 20
    assert (sizes_by_year[20].height.typical > 1.2 * now[0]) is grows
    assert border.present(plant, 20) and border.by_key["T"] is plant and plant not in border.plantings


def test_retained_plants_shade_hide_and_cover(grow) -> None:  # type: ignore[no-untyped-def]
    line = "- {key: A, name: Hosta 'Halcyon', at: [5, 3.5]}\n"
    kept, gone = (
        grow(
            line,
            more=RETAINED.format(name="Taxus baccata", action=action, more=", height: 2, crown: 1, clear_stem: 0.3"),
        )
        for action in ("keep", "remove")
    )
    assert gone.retained == ()
    found = []
    for border in (kept, gone):
        hosta = border.by_key["A"]
        seen = border.seen([(hosta, border.crown(hosta, 3))], 3, 196, 9)[hosta.number].best()
        found.append((border.light([hosta], 3)[hosta.number][0], seen, -border.cover(3, 196)))
    assert all(with_yew < without for with_yew, without in zip(*found, strict=True))


def test_retained_plants_of_the_bed_hold_it(lint_plants) -> None:  # type: ignore[no-untyped-def]
    head = "format: 1\nsite: {latitude: 52, faces: S, ph: 7}\nborder: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\n"
    tree = "retained: [{key: T, name: Viburnum tinus, at: [3, %s], height: 2.5, crown: 1.4}]\n"
    said = [
        {f.code for f in lint_plants("- {name: Hosta 'Halcyon', at: [1, 1]}\n", head=head, more=more).findings}
        for more in (tree % 1.5, tree % 9, "")
    ]
    assert not {"WINTER-01", "SEASON-01"} & said[0], "an evergreen in the middle of the bed"
    assert {"WINTER-01", "SEASON-01"} <= said[1] & said[2], "one far behind it is none of its own"


def test_an_edge_that_advances_until_divided(grow) -> None:  # type: ignore[no-untyped-def]
    lines = (
        "- {key: A, name: Lysimachia clethroides, at: [5, 3]}\n- {key: H, name: Helleborus × hybridus, at: [2, 3]}\n"
    )
    reach = [(border := grow(lines)).reach(border.by_key["A"], season) for season in range(8)]
    # 0.8 m wide in its second season; then over 0.4 m a year.
    assert reach[2].typical == pytest.approx(0.4) and reach[7].low == pytest.approx(0.28 + 5 * 0.4)
    stays = [border.reach(border.by_key["H"], season).typical for season in (6, 20)]
    assert stays[0] == stays[1] == border.size(border.by_key["H"], 6).spread.typical / 2
    divided = grow(lines, more="tasks: [{task: divide and replant, plants: [A], month: 3, every: 3}]\n")
    again = [round(divided.reach(divided.by_key["A"], season).typical, 2) for season in range(2, 9)]
    assert again == [0.4, 0.9, 1.4, 0.4, 0.9, 1.4, 0.4]
