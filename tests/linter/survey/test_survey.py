"""From drawings to plans: drawings that ezdxf writes as a drawing office would, against the numbers that went into them."""

from __future__ import annotations

from math import dist, hypot, pi, tan
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon

from bedfellow.linter.survey import dxf, table
from bedfellow.linter.survey.drawn import BadDrawing, Drawing, Frame, Label, Mark, Shape
from bedfellow.linter.survey.entries import Entries, entries
from bedfellow.linter.survey.into import same_places
from bedfellow.linter.survey.layers import GROUPS, Role, asked_role, layer_of, role_of, roles
from bedfellow.linter.survey.matching import labelled
from bedfellow.linter.survey.planned import frame_of, new_plan
from bedfellow.schema.decode import plan_from
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import read_text
from bedfellow.schema.units import METRES
from bedfellow.schema.validity import faults
from bedfellow.traits_db.snapshot import Store

FAR = (432_100.0, 181_500.0)  # m: somewhere in a country's grid


class Office:
    """A drawing in a unit of its own, far from its origin."""

    def __init__(self, units: int = 4, scale: float = 1000.0, origin: tuple[float, float] = FAR) -> None:
        self.document = ezdxf.new("R2000", units=units)  # type: ignore[attr-defined]
        self.space, self.scale, self.origin = self.document.modelspace(), scale, origin

    def at(self, x: float, y: float) -> tuple[float, float]:
        return (x + self.origin[0]) * self.scale, (y + self.origin[1]) * self.scale

    def bed(self, *corners: tuple[float, float]) -> None:
        self.space.add_lwpolyline([self.at(*c) for c in corners], close=True, dxfattribs={"layer": "L-PLANTING BED"})

    def circle(self, x: float, y: float, radius: float, layer: str = "L-SHRUBS") -> None:
        self.space.add_circle(self.at(x, y), radius * self.scale, {"layer": layer})

    def text(self, words: str, x: float, y: float, layer: str = "L-TEXT") -> None:
        self.space.add_text(words, height=0.1 * self.scale, dxfattribs={"layer": layer}).set_placement(self.at(x, y))

    def block(self, name: str, radius: float, *tags: str) -> None:
        block = self.document.blocks.new(name)
        block.add_circle((0, 0), radius * self.scale)
        for tag in tags:
            block.add_attdef(tag, (0, 0))

    def insert(self, name: str, x: float, y: float, layer: str = "L-SHRUBS", **said: str) -> Any:
        insert = self.space.add_blockref(name, self.at(x, y), {"layer": layer})
        insert.add_auto_attribs(said)
        return insert

    def saved(self, folder: Path, form: str = "asc") -> Path:
        self.document.saveas(folder / "office.dxf", fmt=form)
        return folder / "office.dxf"


BED = ((0, 0), (8, 0), (8, 4), (0, 4))


def planned(
    file: Path, store: Store, unit: str | None = None, asked: dict[str, Role] | None = None, front: Any = None
) -> tuple[Plan, Drawing, Entries]:
    """The plan that comes of a drawing; it fits the schema and its geometry is without fault."""
    drawing = dxf.read(file, asked or {}, unit, lambda name: store.find([name])[name] is not None)
    frame = frame_of(drawing, front)
    found = entries(frame.placed(drawing), store)
    document = read_text(new_plan("Office", found, frame, drawing), "office.plan.yaml")
    assert not document.faults and not faults(document), document.text
    plan, misplaced = plan_from(document)
    assert plan is not None and not misplaced
    return plan, drawing, found


# ---- layers


@pytest.mark.parametrize("layer, group, kind", [
    ("L-PLANTING BED", "beds", ""), ("Shrubs_2", "plants", ""), ("A-FENCE-NEW", "structures", "fence"), ("RETAINING WALL", "structures", "retaining wall"),
    ("EXISTING TREES", "retained", ""), ("root barrier", "structures", "root barrier"), ("RPA", "roots", ""), ("lawns", "surfaces", "lawn"),
    ("U-WATER MAIN", "surfaces", "water"), ("SERVICES-WATER", "services", "water"), ("drain", "services", "drain"), ("SITE BOUNDARY", "boundaries", ""),
])  # fmt: skip
def test_what_a_layer_holds(layer: str, group: str, kind: str) -> None:
    assert role_of(layer) == Role(group, kind)


def test_our_own_layers_are_read_as_they_are_written() -> None:
    for role in (*map(Role, GROUPS), *roles()):
        assert role_of(layer_of(role)) == role
    assert role_of("X-CONTOURS") is None and role_of("0") is None
    assert asked_role("Retaining  wall") == Role("structures", "retaining wall")
    assert asked_role("water") == Role("surfaces", "water") and asked_role("services water") == Role(
        "services", "water"
    )
    with pytest.raises(ValueError, match="'hot tub' is nothing that a layer can hold"):
        asked_role("hot tub")


# ---- frames


NEAR = st.floats(-1e4, 1e4)
FRAMES = st.builds(
    Frame,
    st.sampled_from(sorted(METRES.values())),
    st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)),
    st.floats(-pi, pi),
)


@given(FRAMES, st.tuples(NEAR, NEAR), st.tuples(NEAR, NEAR))
def test_a_frame_there_and_back(frame: Frame, a: tuple[float, float], b: tuple[float, float]) -> None:
    assert frame.to_plan(frame.to_drawing(a)) == pytest.approx(a, abs=1e-6)
    # Nothing is stretched but by the unit.
    apart = dist(frame.to_drawing(a), frame.to_drawing(b)) * frame.metres
    assert apart == pytest.approx(dist(a, b), abs=1e-5)


@given(st.sampled_from([(1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m")]), st.floats(0, 8), st.floats(0, 4))
def test_the_front_left_corner_becomes_the_origin(unit: tuple[int, str], x: float, y: float) -> None:
    metres = METRES[unit[1]]
    corners = tuple(((a + FAR[0]) / metres, (b + FAR[1]) / metres) for a, b in BED)
    place = ((x + FAR[0]) / metres, (y + FAR[1]) / metres)
    drawing = Drawing(
        unit[1], metres, "", [Mark(Role("plants"), "L", place, "")], [Shape(Role("beds"), "L", corners, True, "")]
    )
    placed = frame_of(drawing).placed(drawing)
    assert placed.marks[0].at == pytest.approx((x, y), abs=1e-3) and placed.shapes[0].points[0] == pytest.approx(
        (0, 0), abs=1e-3
    )


# ---- a drawing


@pytest.mark.parametrize(
    "units, scale", [(4, 1000.0), (5, 100.0), (6, 1.0), (2, 1 / 0.3048), (1, 1 / 0.0254), (21, 3937 / 1200)]
)
def test_units_of_the_drawing(units: int, scale: float, tmp_path: Path, store: Store) -> None:
    office = Office(units, scale)
    office.bed(*BED)
    office.circle(2.345, 1.234, 0.9)
    office.text("Cornus mas", 2.4, 1.3)
    plan, drawing, found = planned(office.saved(tmp_path), store)
    assert (
        plan.borders[0].outline == BED and plan.lines[0].at == ((2.345, 1.234),) and plan.lines[0].name == "Cornus mas"
    )
    assert plan.lines[0].extra["x-drawn_spread"] == 1.8 and drawing.told == "as the drawing says ($INSUNITS)"
    assert plan.extra["x-origin"]["at"] == list(FAR) and not found.unknown


def test_a_unit_is_never_guessed(tmp_path: Path, store: Store) -> None:
    office = Office(0, 1000.0, (0, 0))
    office.bed(*BED)
    office.circle(2, 1, 0.5)
    office.text("Cornus mas", 2, 1)
    file = office.saved(tmp_path)
    with pytest.raises(
        BadDrawing, match=r"does not say its unit .* --unit m, cm, mm, km, ft, in; what is drawn is 8000 × 4000 units"
    ):
        dxf.read(file, {}, None, lambda name: False)
    plan, drawing, _ = planned(file, store, "mm")
    assert plan.lines[0].at == ((2.0, 1.0),) and drawing.told == "as asked" and "x-origin" not in plan.extra
    office.document.header["$INSUNITS"] = 6
    assert dxf.read(office.saved(tmp_path), {}, "mm", lambda name: False).told == "as asked, though the drawing says m"


def test_blocks_with_attributes_and_blocks_in_blocks(tmp_path: Path, store: Store) -> None:
    office = Office()
    office.bed(*BED)
    office.block("SYMBOL 7", 1.1, "CODE", "SPECIES", "NUMBER")
    office.insert("SYMBOL 7", 2, 2, CODE="CoM", SPECIES="Cornus mas", NUMBER="2")
    office.insert("SYMBOL 7", 4, 2.5, CODE="CoM", SPECIES="Cornus mas", NUMBER="2")
    office.insert("SYMBOL 7", 6, 2, CODE="GeM", SPECIES="Geranium macrorrhizum", NUMBER="7")
    office.block("Taxus baccata", 0.4)
    pair = office.document.blocks.new("PAIR")
    for x in (0, 1):
        pair.add_blockref("Taxus baccata", (x * office.scale, 0), {"layer": "0"})
    # Turned by a right angle and made half as large: the second stands 50 cm behind the first.
    office.space.add_blockref(
        "PAIR", office.at(5, 1), {"layer": "L-SHRUBS", "rotation": 90, "xscale": 0.5, "yscale": 0.5}
    )
    row = office.insert("Taxus baccata", 0.5, 0.5)
    row.dxf.column_count, row.dxf.column_spacing = 3, 0.6 * office.scale
    plan, _, found = planned(office.saved(tmp_path), store)
    lines = {line.key: line for line in plan.lines}
    assert lines["CoM"].name == "Cornus mas" and lines["CoM"].at == ((2, 2), (4, 2.5)) and lines["CoM"].quantity is None
    assert lines["GeM"].at == ((6, 2),) and lines["GeM"].quantity == 7
    yew = next(line for line in found.lines if line.name == "Taxus baccata")
    assert sorted((round(x, 3), round(y, 3)) for x, y in yew.at) == [
        (0.5, 0.5),
        (1.1, 0.5),
        (1.7, 0.5),
        (5, 1),
        (5, 1.5),
    ]
    assert yew.drawn == pytest.approx(0.4) and lines["CoM"].extra["x-drawn_spread"] == 2.2


def test_outlines_with_bulges_and_curves(tmp_path: Path, store: Store) -> None:
    office = Office()
    quarter = tan(pi / 8)
    corners = [
        (*office.at(0, 0), 0),
        (*office.at(8, 0), 0),
        (*office.at(8, 3), quarter),
        (*office.at(7, 4), 0),
        (*office.at(0, 4), 0),
    ]
    office.space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "BEDS"})
    office.space.add_ellipse(office.at(2, 2), major_axis=(800, 0), ratio=0.5, dxfattribs={"layer": "DRIFTS"})
    office.text("Geranium macrorrhizum", 2, 2)
    plan, drawing, _ = planned(office.saved(tmp_path), store)
    # The corner is a quarter of a circle of 1 m; the pieces keep within a centimetre of it.
    bed = Polygon(plan.borders[0].outline)
    true = (
        Polygon([(0, 0), (8, 0), (8, 4), (0, 4)])
        .difference(Polygon([(7, 3), (8, 3), (8, 4), (7, 4)]))
        .union(Point(7, 3).buffer(1, 256))
    )
    assert bed.symmetric_difference(true.intersection(Polygon([(0, 0), (8, 0), (8, 4), (0, 4)]))).area < 0.01
    assert all(
        hypot(x - 7, y - 3) == pytest.approx(1, abs=0.002) for x, y in plan.borders[0].outline if x > 7 and y > 3
    )
    assert Polygon(plan.lines[0].outline).area == pytest.approx(pi * 0.8 * 0.4, rel=0.03)
    assert drawing.nearly == {"bulge": 1, "ELLIPSE": 1}


def test_structures_surfaces_and_what_stands_there(tmp_path: Path, store: Store) -> None:
    office = Office()
    office.bed(*BED)
    office.circle(2, 1, 0.5)
    office.text("Cornus mas", 2, 1)
    office.space.add_lwpolyline([office.at(0, 4), office.at(8, 4), office.at(8, 0)], dxfattribs={"layer": "A-FENCE"})
    office.space.add_polyline2d(
        [office.at(*p) for p in ((2, 5), (6, 5), (6, 9), (2, 9))], close=True, dxfattribs={"layer": "HOUSE"}
    )
    office.space.add_polyline3d(
        [(*office.at(*p), 12.5) for p in ((0, -3), (8, -3), (8, 0), (0, 0))], close=True, dxfattribs={"layer": "LAWN"}
    )
    office.space.add_line(office.at(0, 3), office.at(8, 3), {"layer": "DRAIN"})
    office.space.add_point(office.at(8.5, 3), {"layer": "CHAMBER"})
    office.circle(-2, 2, 3, "EXISTING TREES")
    office.text("Quercus robur", -2, 2)
    plan, _, _ = planned(office.saved(tmp_path), store, asked={"house": Role("structures", "building")})
    assert [(s.kind, s.ends or s.outline) for s in plan.structures] == [
        ("fence", ((0, 4), (8, 4))), ("fence", ((8, 4), (8, 0))), ("building", ((2, 5), (6, 5), (6, 9), (2, 9))),
    ]  # fmt: skip
    assert [(s.kind, s.outline) for s in plan.surfaces] == [("lawn", ((0, -3), (8, -3), (8, 0), (0, 0)))]
    assert {(s.kind, s.ends) for s in plan.services} == {("drain", ((0, 3), (8, 3))), ("chamber", ((8.5, 3),))}
    assert [(r.name, r.at, r.crown) for r in plan.retained] == [("Quercus robur", (-2, 2), (3,))]


def test_what_is_not_understood_is_counted(tmp_path: Path, store: Store) -> None:
    office = Office()
    office.bed(*BED)
    office.circle(2, 1, 0.5)
    office.text("Cornus mas", 2, 1)
    office.document.layers.add("OFF SHRUBS").off()
    office.circle(3, 1, 0.5, "OFF SHRUBS")
    office.circle(5, 3, 0.5)  # no text near
    office.circle(6, 3, 0)
    office.space.add_spline([office.at(0, 0), office.at(1, 2), office.at(3, 1)], dxfattribs={"layer": "X-CONTOURS"})
    office.space.add_hatch(dxfattribs={"layer": "L-SHRUBS"})
    office.space.add_line(office.at(0, 0), office.at(1, 1), {"layer": "L-SHRUBS"})
    office.circle(1, 1, 0.2, "STRUCTURES")
    office.document.layout("Layout1").add_line((0, 0), (1, 1))
    plan, drawing, _ = planned(office.saved(tmp_path), store)
    assert len(plan.lines) == 1
    assert drawing.left == {
        ("OFF SHRUBS", "CIRCLE", "the layer is off or frozen"): 1,
        ("L-SHRUBS", "CIRCLE", "nothing says which plant it is"): 1,
        ("L-SHRUBS", "CIRCLE", "it has no radius"): 1,
        ("X-CONTOURS", "SPLINE", "no word of the layer's name says what it holds"): 1,
        ("L-SHRUBS", "HATCH", "this type is not read"): 1,
        ("L-SHRUBS", "LINE", "it is not closed, as plants are"): 1,
        ("STRUCTURES", "CIRCLE", "which kind? say --layer STRUCTURES=…"): 1,
        ("", "in the layout Layout1", "only the model is read"): 1,
    }


def test_a_front_that_does_not_run_along_x(tmp_path: Path, store: Store) -> None:
    # The bed turned by 30° about its front left corner.
    turn = Frame(0.001, FAR, pi / 6)
    office = Office()
    office.space.add_lwpolyline([turn.to_drawing(c) for c in BED], close=True, dxfattribs={"layer": "BEDS"})
    office.space.add_circle(turn.to_drawing((5.25, 1.5)), 500, {"layer": "PLANTS"})
    office.space.add_text("Cornus mas", dxfattribs={"layer": "KEYS"}).set_placement(turn.to_drawing((5.25, 1.5)))
    front = (turn.to_drawing((0, 0)), turn.to_drawing((8, 0)))
    plan, _, _ = planned(office.saved(tmp_path), store, front=front)
    assert plan.lines[0].at == ((5.25, 1.5),) and plan.extra["x-origin"]["turn"] == 30
    assert all(a == pytest.approx(b, abs=1e-3) for a, b in zip(plan.borders[0].outline, BED, strict=True))


def test_hostile_words(tmp_path: Path, store: Store) -> None:
    office = Office()
    office.bed(*BED)
    words = ['=cmd|"/C calc"!A0', "a: b # c", "yes", "- {x: 1}", "\u202eBu\u0159", "'quoted'", "null", "x" * 300]
    for number, word in enumerate(words):
        office.circle(0.5 + 0.9 * number, 1, 0.1)
        office.text(word, 0.5 + 0.9 * number, 1)
    plan, _, found = planned(office.saved(tmp_path), store)
    names = [line.name for line in plan.lines]
    assert names == [*words[:4], "Bu\u0159", *words[5:7], "x" * 300] and len(found.unknown) == 8
    assert max(len(line.key) for line in found.lines) <= 40


def test_one_key_at_two_plants(tmp_path: Path, store: Store) -> None:
    office = Office()
    office.bed(*BED)
    office.block("S", 0.5, "KEY", "NAME")
    office.insert("S", 1, 1, KEY="A", NAME="Cornus mas")
    office.insert("S", 3, 1, KEY="A", NAME="Taxus baccata")
    plan, _, found = planned(office.saved(tmp_path), store)
    assert [(line.key, line.name) for line in plan.lines] == [("A", "Cornus mas"), ("A-2", "Taxus baccata")]
    assert found.notes == ("A stands for more than one line; Taxus baccata became A-2.",)


def test_a_text_belongs_to_the_nearest_and_serves_once() -> None:
    marks = [Mark(Role("plants"), "P", (x, 0.0), "", 0.3) for x in (0.0, 1.0)]
    labels = [Label(Role("keys"), "K", (0.45, 0.0), "A"), Label(Role("keys"), "K", (1.1, 0.0), "B")]
    found, _, over = labelled(Drawing("m", 1, "", marks, [], labels))
    assert [text for _, text in found] == ["A", "B"] and not over
    found, _, over = labelled(Drawing("m", 1, "", marks, [], labels[:1]))
    assert [text for _, text in found] == ["A", ""]


# ---- bad files


def entities(*tags: str) -> str:
    return "\n".join(["0", "SECTION", "2", "ENTITIES", *tags, "0", "ENDSEC", "0", "EOF", ""])


CIRCLE = ("0", "CIRCLE", "5", "2F", "8", "PLANTS", "10", "1", "20", "1", "40", "1")
BAD = {
    "hello\nworld\n": r"bad.dxf:1: this is no DXF",
    "": "bad.dxf is empty",
    "AC1032\x00\x00": "is a DWG; save it as DXF",
    entities(*CIRCLE)[:60]: "cannot be read as DXF, or ends too early",
    entities(*("nan" if tag == "1" else tag for tag in CIRCLE)): "CIRCLE 2F on layer PLANTS: a coordinate is no number",
    entities(*CIRCLE[:-1], "inf"): "CIRCLE 2F on layer PLANTS: its radius is no number",
    entities(*CIRCLE[:7], "abc", *CIRCLE[8:]): "cannot be read as DXF",
    entities("0", "0.0", *CIRCLE[2:]): "0.0 2F cannot be read",
}


@pytest.mark.parametrize("text", BAD, ids=["other", "empty", "dwg", "cut", "nan", "inf", "word", "type"])
def test_bad_files_say_where(text: str, tmp_path: Path) -> None:
    file = tmp_path / "bad.dxf"
    file.write_text(text, "utf-8")
    with pytest.raises(BadDrawing, match=BAD[text]):
        dxf.read(file, {}, "m", lambda name: False)


def test_binary_dxf_is_read(tmp_path: Path, store: Store) -> None:
    office = Office()
    office.bed(*BED)
    office.circle(2, 1, 0.5)
    office.text("Osmanthus × burkwoodii", 2, 1)
    plan, _, _ = planned(office.saved(tmp_path, "bin"), store)
    assert plan.lines[0].at == ((2, 1),) and plan.lines[0].name == "Osmanthus × burkwoodii"


def test_a_block_that_holds_itself_ends(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    block = ["0", "SECTION", "2", "BLOCKS", "0", "BLOCK", "2", "A", "10", "0", "20", "0"]
    block += ["0", "INSERT", "2", "A", "10", "1", "20", "1"] * 9 + ["0", "ENDBLK", "0", "ENDSEC"]
    file = tmp_path / "loop.dxf"
    file.write_text(
        "\n".join([*block, entities("0", "INSERT", "8", "PLANTS", "2", "A", "10", "0", "20", "0")]), "utf-8"
    )
    monkeypatch.setattr(dxf, "MOST", 2_000)
    with pytest.raises(BadDrawing, match="holds more than 2,000 things"):
        dxf.read(file, {}, "m", lambda name: False)


# ---- tables


def rows(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "places.csv"
    file.write_text(text, "utf-8")
    return file


def test_a_table(tmp_path: Path, store: Store) -> None:
    file = rows(
        tmp_path,
        "Key,Name,X,Y,Quantity,Spread,Remark\nCoM,Cornus mas,180,190,,220,old\nGeM,Geranium macrorrhizum,30,40,5,,\n",
    )
    drawing = table.read(file, ",", "cm")
    found = entries(frame_of(drawing).placed(drawing), store)
    assert [(line.key, line.name, line.quantity, line.drawn) for line in found.lines] == [
        ("CoM", "Cornus mas", None, pytest.approx(2.2)), ("GeM", "Geranium macrorrhizum", 5, None),
    ]  # fmt: skip
    assert found.lines[0].at[0] == pytest.approx((1.8, 1.9)) and drawing.left == {
        ("", "column 'Remark'", "plans have no such thing"): 1
    }


@pytest.mark.parametrize("text, why", [
    ("key,x\nA,1\n", r"places.csv:1: the columns are key, x; x, y and one of key and name are needed"),
    ("x,y\n1,1\n", r"one of key and name are needed"),
    ('key,x,y\nA,"1,50",2\n', r"places.csv:2: x is '1,50': write the decimals after a point"),
    ("key;x;y\nA;1;2\n", r"parted by a semicolon: say --separator semicolon"),
    ("key,x,y\nA,nan,2\n", r"places.csv:2: x is 'nan', which is no place"),
    ("key,x,y\nA,1,\n", r"places.csv:2: y is empty"),
    ("key,x,y\n,1,1\n", r"places.csv:2: neither key nor name"),
    ("key,x,y,quantity\nA,1,1,many\n", r"places.csv:2: quantity is 'many'"),
    ("key,x,y\n", r"no row under the headings"),
    ("key,x,y\nA,1,2,3\n", r"places.csv:2: 4 cells under 3 headings"),
])  # fmt: skip
def test_tables_at_fault(text: str, why: str, tmp_path: Path) -> None:
    with pytest.raises(BadDrawing, match=why):
        table.read(rows(tmp_path, text), ",", None)


def test_a_table_in_a_countrys_grid_is_moved(tmp_path: Path) -> None:
    drawing = table.read(rows(tmp_path, "key,x,y\nA,432101.5,181502\nB,432100,181503\n"), ",", None)
    assert frame_of(drawing).origin == (432100.0, 181502.0)
    near = table.read(rows(tmp_path, "key,x,y\nA,5,3\n"), ",", None)
    assert frame_of(near).origin == (0.0, 0.0)


PLACES = st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 4000)), min_size=1, max_size=8, unique=True)


@given(PLACES, st.randoms(use_true_random=False), st.floats(-0.0004, 0.0004))
def test_the_same_places_in_any_order(millimetres: list[tuple[int, int]], random: Any, off: float) -> None:
    was = [(x * 0.01, y * 0.01) for x, y in millimetres]
    now = [(x + off, y - off) for x, y in was]
    random.shuffle(now)
    assert same_places(now, was)
    assert not same_places([(now[0][0] + 0.004, now[0][1]), *now[1:]], was) and not same_places(now[1:], was)
