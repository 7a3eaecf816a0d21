"""The other pictures, each held against the border."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest

from bedfellow.linter.report.drawings import PICTURES, drawn
from bedfellow.linter.report.drawings.asked import Asked
from bedfellow.linter.report.drawings.colours import patches
from bedfellow.linter.report.drawings.sheet import CannotDraw, Drawing
from bedfellow.linter.report.drawings.shown import paint
from bedfellow.linter.report.drawings.typeface import Span, width
from bedfellow.rules.border.interest import PART_OF_MONTH, of_interest
from bedfellow.rules.border.phenology import early_and_late
from bedfellow.schema.colours import srgb
from bedfellow.schema.values import FIRST_DAYS, MONTHS

SVG = "{http://www.w3.org/2000/svg}"
PLANS = ("demo", "mended", "full", "crowded")


def parsed(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(drawing.svg)


def of_class(drawing: Drawing, kind: str) -> list[ElementTree.Element]:
    return [element for element in parsed(drawing).iter() if element.get("class") == kind]


def words(drawing: Drawing) -> str:
    return " ".join("".join(text.itertext()) for text in parsed(drawing).iter(f"{SVG}text"))


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("picture", PICTURES)
def test_each_is_a_sheet_of_its_own_with_title_and_date(draw, judged, picture: str, plan: str) -> None:  # type: ignore[no-untyped-def]
    drawing = draw(picture, plan)
    root = parsed(drawing)
    assert root.get("viewBox") == f"0 0 {drawing.width:g} {drawing.height:.3f}".rstrip("0").rstrip(".")
    said = words(drawing)
    assert (judged[plan].plan.title or "100.plan.yaml") in said and "2026-11-25" in said
    assert drawing.name == picture and drawing.title.startswith(judged[plan].plan.title or "100.plan.yaml")
    used = set(re.findall(r"url\(#([^)]+)\)|href=\"#([^\"]+)", drawing.svg))
    names = {element.get("id") for element in root.iter()}
    assert {a or b for a, b in used} <= names, "everything that is filled or clipped with is defined"
    # Several drawings may stand in one page.
    assert all(name.startswith(f"{picture}-") for name in names if name)


Box = tuple[float, float, float, float, str]


def written(element: ElementTree.Element, x: float = 0.0, y: float = 0.0) -> Iterator[Box]:
    """Left, top, right and bottom of all that is written, in mm on the sheet, and the words."""
    for part in element:
        moved = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", part.get("transform", ""))
        dx, dy = (x + float(moved[1]), y + float(moved[2])) if moved else (x, y)
        if part.tag != f"{SVG}text":
            yield from written(part, dx, dy)
            continue
        plain = "bold" if part.get("font-weight") == "bold" else "regular"
        spans = [Span(part.text or "", plain)]
        for span in part:
            style = "italic" if span.get("font-style") else "bold" if span.get("font-weight") else plain
            spans += [Span(span.text or "", style), Span(span.tail or "", plain)]
        size = float(part.get("font-size", 0))
        wide = width(spans, size)
        left = dx + float(part.get("x", 0)) - wide * {"middle": 0.5, "end": 1.0}.get(part.get("text-anchor", ""), 0.0)
        base = dy + float(part.get("y", 0))
        # Letters stand from 0.72 em above the baseline to 0.2 below.
        yield left, base - 0.72 * size, left + wide, base + 0.2 * size, "".join(part.itertext())


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("picture", PICTURES)
def test_nothing_written_lies_over_another_or_is_cut_off(draw, picture: str, plan: str) -> None:  # type: ignore[no-untyped-def]
    drawing = draw(picture, plan)
    boxes = sorted(written(parsed(drawing)))
    assert len(boxes) > 10
    for number, (left, top, right, bottom, words) in enumerate(boxes):
        assert left > 8 and right < drawing.width - 8 and top > 8 and bottom < drawing.height - 8, words
        for x0, y0, x1, y1, other in itertools.islice(boxes, number + 1, None):
            if x0 >= right:
                break
            assert min(right, x1) - max(left, x0) < 0.1 or min(bottom, y1) - max(top, y0) < 0.3, (words, other)


# ---- elevation


def outlines(drawing: Drawing) -> dict[str, tuple[list[tuple[float, float]], list[tuple[float, float]]]]:
    """Title of a plant → its outline about its foot, and where it stands, in mm."""
    found = {}
    for group in parsed(drawing).iter(f"{SVG}g"):
        if (group.get("id") or "").startswith("elevation-plant"):
            path = next(p for p in group.iter(f"{SVG}path") if p.get("class") == "crown")
            points = [tuple(map(float, pair.split(","))) for pair in path.get("d", "")[1:-1].split("L")]
            stands = [
                (float(use.get("x", 0)), float(use.get("y", 0)))
                for use in parsed(drawing).iter(f"{SVG}use")
                if use.get("href") == f"#{group.get('id')}"
            ]
            found[group.findtext(f"{SVG}title") or ""] = (points, stands)
    return found  # type: ignore[return-value]


def test_outlines_are_the_crowns_of_the_border(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border = judged["demo"].border
    drawing = draw("elevation", scale=50, month=6)
    shown = outlines(drawing)
    feet = {}
    for key in ("CoM", "OsB", "ViT", "NeW"):
        planting = border.by_key[key]
        crown = border.crown_on(planting, 10, FIRST_DAYS[5] + 14)
        points, stands = shown[planting.title]
        assert max(-z for _, z in points) == pytest.approx(crown.top * 20, abs=0.02)
        assert min(-z for _, z in points) == pytest.approx(crown.base * 20, abs=0.02)
        for x, z in points:
            assert abs(x) == pytest.approx(crown.radius(min(max(-z / 20, crown.base), crown.top)) * 20, abs=0.3)
        assert len(stands) == len(planting.points)
        feet[key] = stands[0]
    assert feet["ViT"][0] - feet["CoM"][0] == pytest.approx(7.2 * 20, abs=0.01)


def test_what_is_nearer_covers_what_is_farther(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border = judged["demo"].border
    order = [use.get("href") for use in parsed(draw("elevation")).iter(f"{SVG}use")]
    number = {key: f"#elevation-plant{border.by_key[key].number}" for key in ("OsB", "CoM", "LaH")}
    # They stand 2.5, 2.2 and 1.4 to 1.5 m from the front.
    assert order.index(number["OsB"]) < order.index(number["CoM"]) < order.index(number["LaH"])


def test_a_month_shows_what_is_there_then(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border = judged["demo"].border
    winter, summer = outlines(draw("elevation", month=1)), outlines(draw("elevation", month=7))
    hosta, viburnum = border.by_key["HoH"].title, border.by_key["ViT"].title
    assert viburnum in winter and viburnum in summer
    assert hosta not in winter and hosta in summer
    assert "bare" in words(draw("elevation", month=1))


def test_the_eye_line_is_as_high_as_the_eyes(draw, judged) -> None:  # type: ignore[no-untyped-def]
    drawing = draw("elevation", scale=50)
    [eye] = of_class(drawing, "eye")
    foot = next(iter(outlines(drawing).values()))[1][0][1]
    assert foot - float(eye.get("y1", 0)) == pytest.approx(judged["demo"].border.views[0].eye * 20, abs=0.01)


# ---- calendar


def bars(drawing: Drawing, kind: str) -> list[tuple[float, float]]:
    return [
        (float(bar.get("x", 0)), float(bar.get("x", 0)) + float(bar.get("width", 0))) for bar in of_class(drawing, kind)
    ]


def test_bars_begin_and_end_with_their_windows(draw, judged) -> None:  # type: ignore[no-untyped-def]
    from bedfellow.linter.report.drawings.grid import x_of

    border, drawing = judged["demo"].border, draw("calendar")
    window = border.window(border.by_key["CoM"], "flower")
    assert any(
        left == pytest.approx(x_of(window.start.typical), abs=0.01)
        and right == pytest.approx(x_of(window.end.typical), abs=0.01)
        for left, right in bars(drawing, "flower")
    )
    (early, _), (_, late) = early_and_late(border.varying(window))
    thin = [(float(line.get("x1", 0)), float(line.get("x2", 0))) for line in of_class(drawing, "range")]
    assert (pytest.approx(x_of(early), abs=0.01), pytest.approx(x_of(late), abs=0.01)) in thin
    march = next(text for text in parsed(drawing).iter(f"{SVG}text") if text.text == "March")
    assert float(march.get("x", 0)) == pytest.approx((x_of(60) + x_of(91)) / 2, abs=0.01)


def test_months_with_nothing_are_marked(lint_plants) -> None:  # type: ignore[no-untyped-def]
    result = lint_plants("- {key: H, name: Hosta 'Halcyon', at: [2, 2]}\n")
    drawing = drawn("calendar", result, Asked())
    held = of_interest(result.border, PART_OF_MONTH)
    empty = [number for number, plants in held.items() if not plants]
    assert 1 in empty and len(of_class(drawing, "empty")) == len(empty)
    assert words(drawing).count("nothing") == len(empty)
    assert "Nothing is to be looked at in January" in words(drawing)


def test_a_window_over_new_year_has_a_bar_at_both_ends(draw, judged) -> None:  # type: ignore[no-untyped-def]
    from bedfellow.linter.report.drawings.grid import turns, x_of

    window = judged["demo"].border.window(judged["demo"].border.by_key["ViT"], "flower")
    assert window.end.typical > 365
    pieces = list(turns(window.start.typical, window.end.typical))
    assert len(pieces) == 2 and pieces[1][0] == 1
    found = bars(draw("calendar"), "flower")
    for first, last in pieces:
        assert any(
            left == pytest.approx(x_of(first), abs=0.01) and right == pytest.approx(x_of(last), abs=0.01)
            for left, right in found
        )


# ---- colours


def test_patches_of_a_month_make_up_the_crowns(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border = judged["full"].border
    for month in (2, 6, 10):
        found = list(patches(border, 10, month))
        day = FIRST_DAYS[month - 1] + 14
        evergreen = border.by_key["OsB"]
        whole = sum(patch.area for patch in found if patch.key == "OsB")
        assert whole == pytest.approx(3.14159 * border.crown_on(evergreen, 10, day).greatest_radius ** 2, rel=0.001)
    wide = sum(float(rect.get("width", 0)) for rect in of_class(draw("colours", "full"), "patch"))
    every = [sum(patch.area for patch in patches(border, 10, month)) for month in range(1, 13)]
    from bedfellow.linter.report.drawings.colours import NAMES, WIDE

    assert wide == pytest.approx((WIDE - NAMES) * sum(every) / max(every), rel=0.001)
    assert "vivid yellow: CoM (flower)" in words(draw("colours", "full"))
    assert all(name in words(draw("colours", "full")) for name in MONTHS)


# ---- light and ground


def test_the_light_map_has_the_border_s_figures(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border = judged["demo"].border
    columns, rows, shares = border.light_map(10, 0.25)
    known = [share for row in shares for share in row if share is not None]
    dark = sum(share < 0.2 for share in known) / len(known)
    assert f"0% to 20%: on {dark:.0%} of the ground" in words(draw("light"))
    drawn_area = sum(area(path) for path in of_class(draw("light"), "light"))
    scale = float(re.search(r"1:(\d+)", words(draw("light")))[1])  # type: ignore[index]
    cell = (columns[1] - columns[0]) * (rows[1] - rows[0])
    assert drawn_area * (scale / 1000) ** 2 == pytest.approx(len(known) * cell, rel=0.01)


def area(path: ElementTree.Element) -> float:
    """mm² of the upright boxes of a path."""
    pieces = re.findall(r"h([\d.]+)v([\d.]+)h-", path.get("d", ""))
    return sum(float(wide) * float(high) for wide, high in pieces)


def test_without_a_latitude_there_is_no_light_map(lint_plants) -> None:  # type: ignore[no-untyped-def]
    head = "format: 1\nborder: {outline: [[0, 0], [4, 0], [4, 4], [0, 4]]}\n"
    result = lint_plants("- {key: A, name: Cornus mas, at: [2, 2]}\n", head=head)
    with pytest.raises(CannotDraw, match="latitude"):
        drawn("light", result, Asked())
    assert drawn("plan", result, Asked()).svg and "north not stated" in drawn("plan", result, Asked()).svg


@pytest.mark.parametrize("plan", ["demo", "full"])
def test_bare_soil_is_what_the_border_leaves_bare(draw, judged, plan: str) -> None:  # type: ignore[no-untyped-def]
    border, drawing = judged[plan].border, draw("ground", plan)
    said = words(drawing)
    for season in (1, 2, 3, 5, 10):
        covered, month = border.greatest_cover(season)
        assert f"Season {season}, {MONTHS[month - 1]}: {1 - covered:.0%} bare" in said
        winter = border.cover(season, FIRST_DAYS[1] + 14)
        assert f"Season {season}, February: {1 - winter:.0%} bare" in said
    told = [float(text) for text in re.findall(r"bare, ([\d.]+) m²", said)]
    scale = float(re.search(r"1:(\d+)", said)[1])  # type: ignore[index]
    found = [0.0] * 10
    maps = iter(of_class(drawing, "soil"))
    beds = len(border.plan.borders)
    for number in range(10):
        found[number] = sum(area(next(maps)) for _ in range(beds)) * (scale / 1000) ** 2
    assert found == pytest.approx(told, abs=0.15)


def test_february_is_august_in_the_south(lint_plants) -> None:  # type: ignore[no-untyped-def]
    head = "format: 1\nsite: {latitude: -36, faces: N}\nborder: {outline: [[0, 0], [4, 0], [4, 4], [0, 4]]}\n"
    result = lint_plants("- {key: A, name: Viburnum tinus, at: [2, 2]}\n", head=head)
    assert "August: " in words(drawn("ground", result, Asked()))
    assert "October to March" in words(drawn("light", result, Asked()))


# ---- bulbs and sizes


def test_what_hides_bulbs_is_what_the_check_found(draw, judged) -> None:  # type: ignore[no-untyped-def]
    result = judged["demo"]
    [finding] = [f for f in result.findings if f.code == "BULB-01"]
    assert finding.evidence["season"] == 3
    drawing = draw("bulbs", season=3)
    dying, hidden = of_class(drawing, "dying"), of_class(drawing, "hidden")
    shares = finding.evidence["hidden_by_week"]
    heights = [float(bar.get("height", 0)) for bar in dying]
    high = finding.evidence["height"] * 60
    tall = [n for n, height in enumerate(heights) if height == pytest.approx(high, abs=0.01)]
    assert len(tall) == len(shares)
    taken = sorted(float(bar.get("height", 0)) for bar in hidden)
    for share in shares:
        assert share == 0 or any(height == pytest.approx(high * share, abs=0.01) for height in taken)


def test_without_bulbs_there_is_nothing_to_hide(lint_plants) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(CannotDraw, match="no bulbs"):
        drawn("bulbs", lint_plants("- {key: A, name: Cornus mas, at: [2, 2]}\n"), Asked())


def test_sizes_are_those_of_each_season(draw, judged) -> None:  # type: ignore[no-untyped-def]
    border, drawing = judged["demo"].border, draw("sizes")
    scale = float(re.search(r"1:(\d+)", words(drawing))[1])  # type: ignore[index]
    dogwood = border.by_key["CoM"]
    for season in (1, 3, 5, 10):
        [plan] = of_class(drawing, f"season{season}")
        [crown] = [g for g in plan.iter(f"{SVG}g") if g.findtext(f"{SVG}title") == dogwood.title]
        [ring] = list(crown.iter(f"{SVG}circle"))
        expected = border.crown(dogwood, season).greatest_radius * 1000 / scale
        assert float(ring.get("r", 0)) == pytest.approx(expected, abs=0.01)
        assert f"{border.size(dogwood, season).height.typical:.1f}" in words(drawing)


def test_no_crown_is_cut_off_in_any_season(draw, judged) -> None:  # type: ignore[no-untyped-def]
    drawing = draw("sizes", "full")
    frames = {clip.get("id"): clip[0] for clip in parsed(drawing).iter(f"{SVG}clipPath")}
    for season in (1, 3, 5, 10):
        [plan], frame = of_class(drawing, f"season{season}"), frames[f"sizes-season{season}"]
        left, top, wide, high = (float(frame.get(name, 0)) for name in ("x", "y", "width", "height"))
        rings = [ring for g in plan.iter(f"{SVG}g") if g.get("class") == "crown" for ring in g.iter(f"{SVG}circle")]
        assert rings
        for ring in rings:
            x, y, r = (float(ring.get(name, 0)) for name in ("cx", "cy", "r"))
            assert left <= x - r and x + r <= left + wide and top <= y - r and y + r <= top + high


@pytest.mark.parametrize(
    ("colour", "painted"),
    [("#FF0000", "#ff0000"), ("vivid red", srgb("vivid red")), ('#"><b>', "#8a8a8a"), ("no such colour", "#8a8a8a")],
)
def test_a_colour_is_painted_by_its_name_or_its_figures(colour: str, painted: str) -> None:
    assert paint(colour) == painted and re.fullmatch("#[0-9a-f]{6}", painted)
    assert paint(colour, white=1.0) == "#ffffff"
