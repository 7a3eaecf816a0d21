"""The planting plan: what stands where, held against the plan's metres and the border's crowns."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from math import cos, hypot, radians, sin
from xml.etree import ElementTree

import pytest

from bedfellow.linter.report.drawings.frame import PAPERS
from bedfellow.linter.report.drawings.sheet import SMALL, TEXT, CannotDraw, Drawing
from bedfellow.linter.report.drawings.typeface import Span, width

SVG = "{http://www.w3.org/2000/svg}"
PLANS = ("demo", "mended", "full", "crowded")


def parsed(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(drawing.svg)


def of_class(drawing: Drawing, kind: str) -> list[ElementTree.Element]:
    return [element for element in parsed(drawing).iter() if element.get("class") == kind]


def places(drawing: Drawing, title: str) -> list[tuple[float, float, float]]:
    """x, y and radius in mm of the crowns of a plant."""
    return [
        (float(ring.get("cx", 0)), float(ring.get("cy", 0)), float(ring.get("r", 0)))
        for crowns in of_class(drawing, "crown")
        if crowns.findtext(f"{SVG}title") == title
        for ring in crowns.iter(f"{SVG}circle")
    ]


@pytest.mark.parametrize("scale", [20, 50, 100])
def test_distances_and_crowns_are_to_scale(draw, judged, scale: int) -> None:  # type: ignore[no-untyped-def]
    border = judged["demo"].border
    drawing = draw("plan", scale=scale)
    [first], [second] = (places(drawing, border.by_key[key].title) for key in ("CoM", "ViT"))
    # From (1.8, 2.2) to (9.0, 2.4) in the plan: x to the right, y up the sheet.
    assert second[0] - first[0] == pytest.approx(7.2 * 1000 / scale, abs=0.01)
    assert first[1] - second[1] == pytest.approx(0.2 * 1000 / scale, abs=0.01)
    for key, (_, _, radius) in (("CoM", first), ("ViT", second)):
        assert radius == pytest.approx(border.crown(border.by_key[key], 10).greatest_radius * 1000 / scale, abs=0.01)
    assert f"1:{scale}" in "".join(parsed(drawing).itertext())


def test_crowns_are_those_of_the_season(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border = judged["demo"].border
    for season in (1, 5):
        [(_, _, radius)] = places(draw("plan", scale=50, season=season), border.by_key["CoM"].title)
        assert radius == pytest.approx(border.crown(border.by_key["CoM"], season).greatest_radius * 20, abs=0.01)


def test_every_member_has_its_middle_and_every_line_its_quantity(draw, judged) -> None:  # type: ignore[no-untyped-def]
    drawing = draw("plan")
    border = judged["demo"].border
    middles = "".join(path.get("d", "") for path in of_class(drawing, "middle"))
    bulbs = [p for p in border.plantings if p.life_form == "bulb"]
    crossed = sum(len(p.points) for p in border.plantings if p not in bulbs and not p.supported)
    # Each cross is two strokes; one more stands in each sample of the legend.
    samples = middles.count("M5.00,0.00") or middles.count("M4.")
    assert middles.count("M") // 2 >= crossed
    assert samples >= 1
    assert sum(len(places(drawing, p.title)) for p in bulbs) == sum(len(p.points) for p in bulbs) == 64
    keys = {"".join(label.itertext()) for label in of_class(drawing, "key")}
    assert {"24 SaC", "9 NeW", "CoM", "40 NaT", "3 LaH", "14 GeM ?"} <= keys


@pytest.mark.parametrize(("faces", "turn"), [("S", 0), ("N", 180), ("E", 90), ("SW", -45)])
def test_the_needle_points_north(lint_plants, faces: str, turn: float) -> None:  # type: ignore[no-untyped-def]
    from bedfellow.linter.report.drawings import drawn
    from bedfellow.linter.report.drawings.asked import Asked

    head = (
        f"format: 1\nsite: {{latitude: 51.6, faces: {faces}}}\nborder: {{outline: [[0, 0], [4, 0], [4, 4], [0, 4]]}}\n"
    )
    drawing = drawn("plan", lint_plants("- {key: A, name: Cornus mas, at: [2, 2]}\n", head=head), Asked())
    points = of_class(drawing, "north")[0].get("points", "").split()
    (tip_x, tip_y), _, (x, y) = (map(float, point.split(",")) for point in points)
    # A front that faces south has north straight up; one that faces east, at the bottom of the sheet, has it at the right.
    long = hypot(tip_x - x, tip_y - y)
    assert (tip_x - x) / long == pytest.approx(sin(radians(turn)), abs=0.01)
    assert (y - tip_y) / long == pytest.approx(cos(radians(turn)), abs=0.01)


def test_the_scale_bar_is_as_long_as_it_says(draw) -> None:  # type: ignore[no-untyped-def]
    parts = of_class(draw("plan", scale=50), "bar")
    assert sum(float(part.get("width", 0)) for part in parts) == pytest.approx(5 * 20)


def in_place(element: ElementTree.Element) -> Iterator[ElementTree.Element]:
    """What is drawn on the plan itself: rows beside it are moved as a whole."""
    for part in element:
        if part.get("transform") is None:
            yield part
            yield from in_place(part)


def labels(drawing: Drawing) -> list[tuple[float, float, float, float, str]]:
    """Boxes of all that is written on the plan and of the signs of findings: left, top, right, bottom, what."""
    found = []
    for element in in_place(parsed(drawing)):
        kind, words = element.get("class"), "".join(element.itertext())
        if kind in ("key", "place", "figure"):
            size = float(element.get("font-size", 0))
            style = {"key": "bold", "place": "italic", "figure": "regular"}[kind]
            wide = width((Span(words, style),), size)
            x, y = float(element.get("x", 0)), float(element.get("y", 0))
            # Letters stand from 0.73 em above the baseline to 0.21 below.
            found.append((x - wide / 2, y - 0.73 * size, x + wide / 2, y + 0.21 * size, words))
        elif kind == "finding":
            found.append((*box(element), f"sign: {words}"))
    return found


def box(sign: ElementTree.Element) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a square, circle or lozenge."""
    values = {name: float(sign.get(name, 0)) for name in ("x", "y", "width", "height", "cx", "cy", "r")}
    if sign.tag == f"{SVG}circle":
        x, y, r = values["cx"], values["cy"], values["r"]
        return x - r, y - r, x + r, y + r
    if sign.tag == f"{SVG}rect":
        return values["x"], values["y"], values["x"] + values["width"], values["y"] + values["height"]
    xs, ys = zip(*(map(float, point.split(",")) for point in sign.get("points", "").split()), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("picture", ["plan", "light"])
def test_no_label_lies_over_another_or_off_the_sheet(draw, picture: str, plan: str) -> None:  # type: ignore[no-untyped-def]
    drawing = draw(picture, plan)
    boxes = labels(drawing)
    assert len(boxes) > 10
    assert picture != "plan" or any(words.startswith("sign") for *_, words in boxes)
    for one, other in itertools.combinations(boxes, 2):
        across = min(one[2], other[2]) - max(one[0], other[0])
        down = min(one[3], other[3]) - max(one[1], other[1])
        assert across <= 0.05 or down <= 0.3, (one, other)
    assert all(
        left > 0 and right < drawing.width and top > 0 and bottom < drawing.height
        for left, top, right, bottom, _ in boxes
    )


@pytest.mark.parametrize("plan", PLANS)
def test_every_finding_has_a_sign_and_its_sentence(draw, judged, plan: str) -> None:  # type: ignore[no-untyped-def]
    result, drawing = judged[plan], draw("plan", plan)
    words = " ".join("".join(text.itertext()) for text in parsed(drawing).iter(f"{SVG}text"))
    squeezed = re.sub(r"\s+", "", words)
    for finding in result.findings:
        assert re.sub(r"\s+", "", finding.message) in squeezed
    titles = [sign.findtext(f"{SVG}title") for sign in of_class(drawing, "finding")]
    located = [f for f in result.findings if any(key in result.border.by_key for key in f.keys)]
    assert located and all(f.message in titles for f in located)
    listed = [sign for sign in of_class(drawing, "finding") if sign.find(f"{SVG}title") is None]
    assert len(listed) == len(result.findings)
    for caution in result.cautions:
        assert re.sub(r"\s+", "", caution) in squeezed


def test_findings_can_be_left_out_and_cautions_stay(draw, judged) -> None:  # type: ignore[no-untyped-def]
    drawing = draw("plan", findings=False)
    assert not of_class(drawing, "finding")
    squeezed = re.sub(r"\s+", "", "".join(parsed(drawing).itertext()))
    assert all(re.sub(r"\s+", "", words) in squeezed for words in judged["demo"].cautions)


def test_a_crown_known_by_sides_is_drawn_by_sides(draw, judged) -> None:  # type: ignore[no-untyped-def]
    drawing, border = draw("plan", "full"), judged["full"].border
    scale = float(re.search(r"1:(\d+)", "".join(parsed(drawing).itertext()))[1])  # type: ignore[index]
    [crown] = of_class(drawing, "kept")
    points = [tuple(map(float, point.split(","))) for point in crown.get("points", "").split()]
    [oak] = border.retained
    place = points[0]
    rings = [
        ring
        for ring in parsed(drawing).iter(f"{SVG}circle")
        if "root protection" in (ring.findtext(f"{SVG}title") or "")
    ]
    x, y = float(rings[0].get("cx", 0)), float(rings[0].get("cy", 0))
    # North, east, south and west are a quarter of 72 points apart.
    found = [hypot(points[n][0] - x, points[n][1] - y) * scale / 1000 for n in (0, 18, 36, 54)]
    assert found == pytest.approx(list(oak.kept.crown), abs=0.01)
    north = border.bearing((0.0, 0.0), (place[0] - x, y - place[1]))
    assert min(north, 360 - north) < 0.5, "the first is the radius to the north"
    # BS 5837: the root protection area of stems of 180 and 140 mm has 12 times the diameter of their sum of squares.
    assert float(rings[0].get("r", 0)) * scale / 1000 == pytest.approx(12 * hypot(0.18, 0.14), abs=0.01)


def test_the_sheet_is_as_large_as_it_says(draw) -> None:  # type: ignore[no-untyped-def]
    for plan in PLANS:
        drawing = draw("plan", plan)
        root = parsed(drawing)
        assert (
            root.get("width") == f"{drawing.width:g}mm"
            and root.get("viewBox") == f"0 0 {drawing.width:g} {drawing.height:g}"
        )
        assert (drawing.width, drawing.height) in PAPERS.values()


def test_a_scale_that_does_not_fit_is_refused_with_the_one_that_does(lint_plants) -> None:  # type: ignore[no-untyped-def]
    from bedfellow.linter.report.drawings import drawn
    from bedfellow.linter.report.drawings.asked import Asked

    head = "format: 1\nsite: {latitude: 51.6, faces: S}\nborder: {outline: [[0, 0], [LONG, 0], [LONG, 3], [0, 3]]}\n"
    plants = "- {key: A, name: Cornus mas, at: [2, 1]}\n"
    long = lint_plants(plants, head=head.replace("LONG", "30"))
    assert drawn("plan", long, Asked(scale=50)).width <= PAPERS["A0"][0]
    with pytest.raises(CannotDraw, match="does not fit an A0 sheet; at 1:50 it does"):
        drawn("plan", long, Asked(scale=20))
    endless = lint_plants(plants, head=head.replace("LONG", "1000"))
    for picture in ("plan", "elevation"):
        with pytest.raises(CannotDraw, match=r"fits an A0 sheet at none of 1:20, 1:50 and 1:100"):
            drawn(picture, endless, Asked())
    for picture in ("ground", "light", "sizes"):
        assert drawn(picture, endless, Asked()).width <= PAPERS["A0"][0]


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb (WCAG 2.2, from IEC 61966-2-1)."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_what_colour_alone_tells_is_told_in_grey_too() -> None:
    from bedfellow.linter.report.drawings.findings import PAINT
    from bedfellow.linter.report.drawings.ground import BARE, LEAVES
    from bedfellow.linter.report.drawings.light import STEPS

    greys = [paint for _, paint in STEPS]
    assert all(contrast(darker, lighter) > 1.25 for darker, lighter in itertools.pairwise(greys))
    assert all(contrast(paint, "#1a1a1a") > 4.5 for paint in greys), "numbers are read on every step"
    assert contrast(BARE.fill, LEAVES.fill) > 3
    assert contrast(PAINT["error"], "#ffffff") > 4.5


def test_signs_of_plants_differ_without_colour() -> None:
    from bedfellow.linter.report.drawings import signs

    pens = [signs.EVERGREEN, signs.DECIDUOUS, signs.HERBACEOUS, signs.HERBACEOUS_EVERGREEN, signs.TEMPORARY, signs.UNKNOWN,
            signs.KEPT, signs.LEAVING, signs.ROOTS, signs.DRIFT, signs.BULB_LEAVES]  # fmt: skip
    looks = {(pen.weight, pen.dash, pen.fill.startswith("url")) for pen in pens}
    assert len(looks) == len(pens)
    lines = {
        (look.pen.weight, look.pen.dash, look.mark, look.every, look.pen.fill) for look in signs.STRUCTURES.values()
    }
    assert len(lines) == len(signs.STRUCTURES)
    assert len(set(signs.SERVICES.values())) == len(signs.SERVICES)


def test_sizes_of_letters_and_weights_are_those_of_drawing_practice(draw) -> None:  # type: ignore[no-untyped-def]
    drawing = draw("plan", "full")
    weights = {
        float(element.get("stroke-width", 0.25))
        for element in parsed(drawing).iter()
        if element.get("stroke") and not element.get("paint-order")
    }
    # ISO 128-20, with 1.0 for walls.
    assert weights <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4}
    sizes = {float(text.get("font-size", 0)) for text in parsed(drawing).iter(f"{SVG}text")}
    assert min(sizes) >= SMALL * 0.8 and TEXT in sizes


def test_what_is_said_of_no_plant_stands_where_its_line_is_drawn(draw, judged) -> None:  # type: ignore[no-untyped-def]
    [finding] = [f for f in judged["demo"].findings if f.code == "LAYER-03"]
    assert not finding.keys
    [sign] = [s for s in of_class(draw("plan"), "finding") if s.findtext(f"{SVG}title") == finding.message]
    left, top, right, bottom = box(sign)
    bed = next(shape for shape in parsed(draw("plan")).iter(f"{SVG}polygon") if shape.get("fill") == "#faf8f3")
    points = [tuple(map(float, point.split(","))) for point in bed.get("points", "").split()]
    assert min(x for x, _ in points) < left and right < max(x for x, _ in points)
    assert min(y for _, y in points) < top and bottom < max(y for _, y in points)


def test_the_schedule_tells_how_long_fillers_stay(draw) -> None:  # type: ignore[no-untyped-def]
    said = "".join(parsed(draw("plan", "full")).itertext())
    assert "for a time until October 2028" in said and "makes way for OsB" in said
