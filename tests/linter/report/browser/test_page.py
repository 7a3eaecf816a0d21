"""The page as a file: what it is told against the border itself, what it may do, and that nothing of a plan gets out."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from collections.abc import Callable
from hashlib import sha256
from html.parser import HTMLParser
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.linter.engine import Result
from bedfellow.linter.report.browser.data import MOST_COLUMNS
from bedfellow.linter.report.browser.growth import MONTHS, SEASONS
from bedfellow.linter.report.browser.light import MOST_CELLS, cells_of
from bedfellow.linter.report.browser.page import ASSETS, NothingToShow, page
from bedfellow.linter.report.browser.text import data, packed, said
from bedfellow.linter.report.drawings.shown import shown
from bedfellow.rules.border.phenology import share_of_month
from bedfellow.schema.values import FIRST_DAYS

Lint = Callable[..., Result]
LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-_"


class Read(HTMLParser):
    """The elements of a page with their attributes, and the text of scripts and styles."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.inside: dict[str, list[str]] = {"script": [], "style": [], "title": []}
        self._open = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag in self.inside:
            self._open = tag
            self.inside[tag].append("")

    def handle_endtag(self, tag: str) -> None:
        self._open = ""

    def handle_data(self, text: str) -> None:
        if self._open:
            self.inside[self._open][-1] += text


def told(html: str) -> dict[str, Any]:
    return json.loads(Read(html).inside["script"][0])  # type: ignore[no-any-return]


def unpacked(text: str, letters: int) -> list[int]:
    parts = (text[at : at + letters] for at in range(0, len(text), letters))
    return [
        sum(LETTERS.index(letter) * 64 ** (letters - 1 - place) for place, letter in enumerate(part)) for part in parts
    ]


def test_crowns_are_those_of_the_border(demo) -> None:  # type: ignore[no-untyped-def]
    border, figures = demo.result.border, told(demo.html)
    looked_at = 0
    for planting, plant in zip(border.standing, figures["plants"], strict=True):
        for (index, season), month in product(enumerate(SEASONS), MONTHS):
            row = plant["crowns"][index]
            number = row[0] if len(row) == 1 else row[month - 1]
            crown = border.crown_on(planting, season, FIRST_DAYS[month - 1] + 14)
            if not border.present(planting, season):
                assert number == -2
            elif crown is None:
                assert number == -1
            else:
                base, top, radius, profile = figures["crowns"][number]
                assert (base, top, radius) == pytest.approx(
                    (100 * crown.base, 100 * crown.top, 100 * crown.greatest_radius), abs=0.51
                )
                for up, share in zip(figures["up"][1:-1], figures["profiles"][profile][1:-1], strict=True):
                    z = crown.base + up * (crown.top - crown.base)
                    assert share / 1000 * crown.greatest_radius == pytest.approx(crown.radius(z), abs=0.002)
                looked_at += 1
    assert looked_at > 1000


def test_leaf_and_flower_are_those_of_the_calendar(demo) -> None:  # type: ignore[no-untyped-def]
    border, figures = demo.result.border, told(demo.html)
    flowers = 0
    for planting, plant in zip(border.standing, figures["plants"], strict=True):
        window = border.window(planting, "flower")
        for month in MONTHS:
            leafy = border.in_leaf(planting, FIRST_DAYS[month - 1] + 14)
            assert plant["leaf"][month - 1] == (2 if planting.evergreen else int(leafy))
            blooms = window is not None and share_of_month((window.start.typical, window.end.typical), month) >= 1 / 3
            assert (month in (plant["flower"] or {"months": []})["months"]) == blooms
            drawn_in = shown(border, planting, month).organs
            assert ("flower" in drawn_in) == blooms, "as in the front elevation and the colours by month"
            flowers += blooms
        if plant["flower"] and window and window.colours:
            assert re.fullmatch("#[0-9a-f]{6}", plant["flower"]["paint"])
    assert flowers > 5
    cornel = next(plant for plant in figures["plants"] if plant["key"] == "CoM")
    assert 3 in cornel["flower"]["months"] and 7 not in cornel["flower"]["months"]


def test_hours_of_sun_are_those_at_the_place(demo) -> None:  # type: ignore[no-untyped-def]
    border, light = demo.result.border, told(demo.html)["light"]
    places = list(zip(light["places"][::2], light["places"][1::2], strict=True))
    assert len(places) == 20 * 7 and light["size"] == 0.5  # 10 m by 3.6 m
    for season, cell in ((3, 25), (10, 70), (10, 130)):
        column, row = places[cell]
        at = (light["left"] + (column + 0.5) * light["size"], light["front"] + (row + 0.5) * light["size"], 0.1)
        found = [unpacked(text, 2)[cell] / 100 for text in light["hours"][SEASONS.index(season)]]
        expected = [month.hours for month in border.light_by_month(at, season)]
        assert found == pytest.approx(expected, abs=0.0051)


def test_the_elevation_is_that_of_the_border(demo) -> None:  # type: ignore[no-untyped-def]
    border, elevation = demo.result.border, told(demo.html)["elevation"]
    for season, month in ((1, 3), (3, 11), (10, 7), (20, 2)):
        line = elevation["lines"][elevation["heights"][SEASONS.index(season)][month - 1]]
        heights = border.front_elevation(season, FIRST_DAYS[month - 1] + 14)
        assert [height / 100 for height in unpacked(line, 3)] == pytest.approx(heights, abs=0.0051)


def test_every_finding_is_told_with_its_line(demo) -> None:  # type: ignore[no-untyped-def]
    result, figures = demo.result, told(demo.html)
    shown = result.findings
    assert [found["message"] for found in figures["findings"]] == [finding.message for finding in shown]
    for found, finding in zip(figures["findings"], shown, strict=True):
        assert {figures["plants"][number]["key"] for number in found["plants"]} <= set(finding.keys)
        span = result.span(finding)
        assert found["place"] == f"orchard-gate.plan.yaml:{span.start_line}:{span.start_column}"
        assert said(finding.message) in demo.html
    pair = next(found for found in figures["findings"] if found["code"] == "SPACE-01")
    assert {figures["plants"][number]["key"] for number in pair["plants"]} == {"CoM", "OsB"} and "OsB" in pair["line"]
    for finding in result.findings:
        if finding.code == "PLAN-04":
            assert said(finding.message) in demo.html
    assert all(said(caution) in demo.html for caution in result.cautions) and result.cautions


def test_no_network_and_only_its_own_scripts(demo) -> None:  # type: ignore[no-untyped-def]
    read = Read(demo.html)
    policy = next(a["content"] for tag, a in read.elements if tag == "meta" and a.get("http-equiv"))
    assert policy is not None and policy.startswith("default-src 'none';") and "unsafe" not in policy
    scripts = [text for (tag, a), text in zip(
        [e for e in read.elements if e[0] == "script"], read.inside["script"], strict=True) if "type" not in a]  # fmt: skip
    for text in (*scripts, *read.inside["style"]):
        assert f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'" in policy
    assert len(scripts) == 2
    for tag, attributes in read.elements:
        assert "src" not in attributes and tag not in ("link", "iframe", "object", "base")
        assert (attributes.get("href") or "#").startswith("#")
        assert not any(name.startswith("on") or name == "style" for name in attributes)


def test_nothing_of_a_plan_gets_out(harmful) -> None:  # type: ignore[no-untyped-def]
    read = Read(harmful.html)
    names = [tag for tag, _ in read.elements]
    assert names.count("script") == 3 and not {"img", "iframe", "b onclick"} & set(names)
    assert not any(name.startswith("on") for _, attributes in read.elements for name in attributes)
    assert "<script>window.harmed" not in harmful.html and "\u202e" not in harmful.html and "\u2028" not in harmful.html
    figures = told(harmful.html)
    assert figures["plants"][0]["key"] == "</title><script>window.harmed=5</script>"
    assert "שלום עולם" in harmful.html and "[[data]]" in harmful.html


def test_the_same_plan_makes_the_same_page(demo) -> None:  # type: ignore[no-untyped-def]
    assert page(demo.result) == demo.html
    assert 'value="2"' in page(demo.result, 3)


@given(st.lists(st.integers(0, 64**2 - 1)))
def test_figures_in_two_letters(figures: list[int]) -> None:
    assert unpacked(packed(figures, 2), 2) == figures


@settings(max_examples=40)
@given(st.recursive(st.text() | st.integers(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner)))
def test_data_stays_within_its_element(value: object) -> None:
    text = data(value)
    assert not set(text) & set("<>&\u2028\u2029") and json.loads(text) == value


def test_what_is_larger_than_the_letters_hold_is_cut_off() -> None:
    assert unpacked(packed([-3, 0.4, 63.6, 5000], 2), 2) == [0, 0, 64, 4095]


def test_the_bundle_is_small_and_named(demo) -> None:  # type: ignore[no-untyped-def]
    bundle = (ASSETS / "solid.min.js").read_text("utf-8")
    assert len(bundle.encode()) <= 600_000
    version = re.search(r"three@([\d.]+)", (ASSETS / "bundle.sh").read_text("utf-8"))
    assert version is not None and bundle.startswith(f"/*! three.js {version[1]}, MIT")
    licence = (ASSETS / "solid.licence.txt").read_text("utf-8")
    assert "The MIT License" in licence and "three.js authors" in demo.html and "THE SOFTWARE IS PROVIDED" in demo.html
    assert "</script" not in bundle


def test_without_latitude_there_is_no_light_and_the_page_says_so(lint_text: Lint) -> None:
    result = lint_text(
        "format: 1\nborder: {outline: [[0, 0], [4, 0], [4, 2], [0, 2]]}\nplants:\n- {key: A, name: Cornus mas, at: [2, 1]}\n"
    )
    html = page(result)
    assert told(html)["light"] is None and "Hours of sun are not shown" in html


def test_without_an_outline_plants_are_drawn(lint_text: Lint) -> None:
    html = page(lint_text("format: 1\nsite: {latitude: 51}\nplants:\n- {key: A, name: Cornus mas, at: [2, 1]}\n"))
    figures = told(html)
    assert figures["light"] is None and figures["elevation"] is None and figures["plants"][0]["crowns"][9][0] >= 0


def test_seasons_have_their_years(demo, lint_plants: Lint) -> None:  # type: ignore[no-untyped-def]
    assert told(demo.html)["years"][:2] == [[2027] * 12, [2028] * 12]  # planted in October 2026
    head = "format: 1\nplanted: 2026-04\nsite: {latitude: -37.8}\nborder: {outline: [[0, 0], [4, 0], [4, 2], [0, 2]]}\n"
    south = told(page(lint_plants("- {key: A, name: Cornus mas, at: [2, 1]}\n", head)))
    assert south["years"][0] == [2027] * 6 + [2026] * 6  # from July to June


def test_south_of_the_equator_it_opens_in_the_summer(lint_plants: Lint) -> None:
    head = "format: 1\nsite: {latitude: -37.8, longitude: 145, faces: N}\nborder: {outline: [[0, 0], [4, 0], [4, 2], [0, 2]]}\n"
    assert told(page(lint_plants("- {key: A, name: Cornus mas, at: [2, 1]}\n", head)))["month"] == 1


def test_endless_ground_makes_no_cells_without_end(lint_plants: Lint) -> None:
    def bed(wide: int, deep: int) -> Result:
        outline = f"[[0, 0], [{wide}, 0], [{wide}, {deep}], [0, {deep}]]"
        head = f"format: 1\nsite: {{latitude: 51, faces: N}}\nborder: {{outline: {outline}}}\n"
        return lint_plants("- {key: A, name: Cornus mas, at: [2, 1]}\n", head, only=("PLAN-04",))

    square, long = bed(9000, 9000).border, bed(600, 3)
    assert square is not None and 1000 < len(cells_of(square).places) <= MOST_CELLS
    figures = told(page(long))
    assert len(figures["light"]["places"]) / 2 <= MOST_CELLS
    assert {len(line) for line in figures["elevation"]["lines"]} == {3 * MOST_COLUMNS}


@pytest.mark.parametrize(
    ("bed", "more"),
    [
        ("[[0, 0], [6, 4], [6, 0], [0, 4]]", ""),  # crosses itself
        ("[[0, 0], [3, 0], [6, 0]]", ""),  # a line
        ("[[0, 0], [6, 0], [6, 4], [0, 4]]", "structures: [{kind: wall, from: [0, 4], to: [6, 4], height: 999999}]\n"),
        ("[[0, 0], [6, 0], [6, 4], [0, 4]]", "retained: [{name: Quercus robur, at: [3, 2], height: 0, crown: [0, 0, 0, 0]}]\n"),
    ],
)  # fmt: skip
def test_ground_beyond_sense_makes_a_page(lint_text: Lint, bed: str, more: str) -> None:
    plan = f"format: 1\nsite: {{latitude: 51, faces: S}}\nborder: {{outline: {bed}}}\n{more}"
    result = lint_text(plan + "plants:\n- {key: A, name: Cornus mas, at: [3, 2]}\n", only=("PLAN-04",))
    figures = told(page(result))  # data() refuses what is no figure
    assert len(figures["plants"]) == len(result.border.standing) if result.border else False


def test_what_is_no_plan_makes_no_page(lint_text: Lint) -> None:
    with pytest.raises(NothingToShow, match="read as a plan"):
        page(lint_text("[1, 2"))
    with pytest.raises(NothingToShow, match="no plant"):
        page(lint_text("format: 1\nplants:\n- {key: A, name: Nonesuch plantus, at: [1, 1]}\n"))


def test_a_repair_that_was_tried_is_told(demo) -> None:  # type: ignore[no-untyped-def]
    from dataclasses import replace

    from bedfellow.linter.offer import Offer

    finding = demo.result.findings[0]
    html = page(replace(demo.result, repairs={id(finding): Offer("Move <it> east", False, ())}))
    assert "Move &lt;it&gt; east, which changes the design; nothing else comes of it." in html
