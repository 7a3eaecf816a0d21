"""``bedfellow cad``: plan to drawing and back, to places on the globe, to a table and back, and into a plan that is there."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from itertools import pairwise
from math import cos, dist, pi, radians, sin, sqrt
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from bedfellow.linter.cli import DEMO, app
from bedfellow.linter.engine import border_of
from bedfellow.rules.border.border import Border
from bedfellow.schema.decode import plan_from
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import read_file
from bedfellow.traits_db.snapshot import Store

pytestmark = pytest.mark.usefixtures("store_in_cache")

FULL = Path(__file__).parents[2] / "schema" / "full.plan.yaml"
PRECISE = Path(__file__).parents[2] / "precision"
DEMO_PLAN = DEMO / "orchard-gate.plan.yaml"


def run(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["cad", *map(str, words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def plan_of(file: Path) -> Plan:
    plan, misplaced = plan_from(read_file(file))
    assert plan is not None and not misplaced
    return plan


def grown(file: Path, store: Store) -> Border:
    border, _ = border_of(file, store)
    assert border is not None
    return border


def there_and_back(plan: Path, folder: Path, ending: str) -> Path:
    there, back = folder / f"there.{ending}", folder / "back.plan.yaml"
    status, output = run("export", plan, "--output", there)
    assert status == 0, output
    status, output = run("import", there, "--output", back)
    assert status == 0, output
    return back


def same(one: Any, other: Any) -> bool:
    """Two lists of points, to the millimetre."""
    return len(one) == len(other) and all(dist(a, b) <= 0.001 for a, b in zip(one, other, strict=True))


# ---- DXF


@pytest.mark.parametrize("file", [FULL, DEMO_PLAN, PRECISE / "cobblers-yard.plan.yaml"], ids=lambda file: file.name)
def test_a_plan_becomes_a_drawing_and_a_plan_again(file: Path, tmp_path: Path) -> None:
    was, now = plan_of(file), plan_of(there_and_back(file, tmp_path, "dxf"))
    lines = {line.key: line for line in now.lines}
    assert set(lines) == {line.key for line in was.lines}
    for line in was.lines:
        got = lines[line.key]
        assert got.name == line.name and got.number == line.number
        assert same(got.outline, line.outline) and (line.outline or same(got.at, line.at))
    assert [(bed.name, bed.outline) for bed in now.borders] == [(bed.name, bed.outline) for bed in was.borders]
    for name in ("structures", "surfaces", "services"):
        entries, kept = getattr(was, name), getattr(now, name)
        places = [(e.kind, e.key if name != "services" else None, e.outline if name != "services" else (), getattr(e, "ends", ()) or getattr(e, "points", ())) for e in entries]  # fmt: skip
        again = [(e.kind, e.key if name != "services" else None, e.outline if name != "services" else (), getattr(e, "ends", ()) or getattr(e, "points", ())) for e in kept]  # fmt: skip
        assert sorted(places, key=str) == sorted(again, key=str)
    assert {s.key: round(s.height, 3) for s in was.structures if s.height} == {
        s.key: s.height for s in now.structures if s.height
    }
    assert [(b.key, b.ends) for b in now.boundaries] == [(b.key, b.ends) for b in was.boundaries]
    for old, new in zip(was.retained, now.retained, strict=True):
        assert (new.key, new.name, new.at, new.height, new.stems, new.action) == (
            old.key,
            old.name,
            old.at,
            old.height,
            old.stems,
            old.action,
        )
        assert new.crown == ((sum(old.crown) / len(old.crown),) if old.crown else ())


def test_the_drawing_as_another_program_reads_it(tmp_path: Path, store: Store) -> None:
    run("export", FULL, "--output", tmp_path / "a.dxf", "--season", 5)
    drawing = ezdxf.readfile(tmp_path / "a.dxf")  # type: ignore[attr-defined]
    audit = drawing.audit()
    assert not audit.errors and not audit.fixes
    assert drawing.dxfversion >= "AC1024" and drawing.header["$INSUNITS"] == 6
    space, border = drawing.modelspace(), grown(FULL, store)
    plants = [insert for insert in space.query("INSERT") if insert.dxf.layer == "PLANTS"]
    said = {(i.get_attrib_text("KEY"), i.get_attrib_text("NAME"), i.get_attrib_text("QUANTITY"), i.dxf.insert.xy.x, i.dxf.insert.xy.y) for i in plants}  # fmt: skip
    assert ("PeA", "Persicaria amplexicaulis 'Alba'", "2", 3.3, 0.8) in said and len(said) == 45
    beds = [e for e in space.query("LWPOLYLINE") if e.dxf.layer == "BEDS"]
    assert [e.closed for e in beds] == [True, True] and [tuple(p[:2]) for p in beds[0]] == [
        (0, 0),
        (9, 0),
        (9, 3.6),
        (0, 3.6),
    ]
    # Crowns are those of the season asked for.
    cornel = border.size(border.by_key["CoM"], 5)
    assert cornel is not None
    circles = {
        (round(c.dxf.center.x, 3), round(c.dxf.center.y, 3)): c.dxf.radius
        for c in space.query("CIRCLE")
        if c.dxf.layer == "CROWNS"
    }
    assert circles[1.8, 1.9] == pytest.approx(cornel.spread.typical / 2)
    roots = [c.dxf.radius for c in space.query("CIRCLE") if c.dxf.layer == "ROOTS"]
    assert roots == [pytest.approx(12 * sqrt(0.18**2 + 0.14**2))]
    keys = {text.dxf.text for text in space.query("TEXT")}
    assert {"CoM", "GeM", "T1", "F1"} <= keys
    used = {e.dxf.layer for e in space}
    assert {"BEDS", "PLANTS", "CROWNS", "DRIFTS", "KEYS", "RETAINED", "ROOTS", "BOUNDARIES", "STRUCTURES-FENCE", "SURFACES-LAWN", "SERVICES-DRAIN"} <= used  # fmt: skip


def test_the_same_plan_gives_the_same_bytes(tmp_path: Path) -> None:
    for ending in ("dxf", "csv"):
        for number in (1, 2):
            assert run("export", FULL, "--output", tmp_path / f"{number}.{ending}")[0] == 0
        assert (tmp_path / f"1.{ending}").read_bytes() == (tmp_path / f"2.{ending}").read_bytes()


def test_the_order_of_sets_which_differs_from_run_to_run_is_not_that_of_a_drawing(filled: Path, tmp_path: Path) -> None:
    code = "from bedfellow.linter.entry import main; main()"
    path = ":".join(path for path in sys.path if path)
    for seed in "14":
        subprocess.run(
            [sys.executable, "-c", code, "cad", "export", str(DEMO_PLAN), "--output", f"{seed}.dxf"], cwd=tmp_path, check=True,
            env={"PYTHONPATH": path, "XDG_CACHE_HOME": str(filled), "PYTHONHASHSEED": seed, "PATH": ""},
        )  # fmt: skip
    assert (tmp_path / "1.dxf").read_bytes() == (tmp_path / "4.dxf").read_bytes()


PLACE = st.tuples(st.floats(0.1, 8.9), st.floats(0.1, 3.5))
LETTERS = st.text("ab×é'", min_size=1, max_size=8).map(lambda text: f"Testa {text.strip()}x")


@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(LETTERS, st.lists(PLACE, min_size=1, max_size=4)), min_size=1, max_size=5))
def test_any_places_come_back(tmp_path: Path, plants: list[tuple[str, list[tuple[float, float]]]]) -> None:
    lines = "".join(
        f"- {{key: K{n}, name: {json.dumps(name, ensure_ascii=False)}, at: [{', '.join(f'[{x:.3f}, {y:.3f}]' for x, y in at)}]}}\n"
        for n, (name, at) in enumerate(plants)
    )
    file = tmp_path / "any.plan.yaml"
    file.write_text(
        f"format: 1\nsite: {{}}\nborder: {{outline: [[0, 0], [9, 0], [9, 3.6], [0, 3.6]]}}\nplants:\n{lines}", "utf-8"
    )
    for ending in ("dxf", "csv"):
        for left in (tmp_path / f"there.{ending}", tmp_path / "back.plan.yaml"):
            left.unlink(missing_ok=True)
        was, now = plan_of(file), plan_of(there_and_back(file, tmp_path, ending))
        assert [(line.key, line.name, line.at) for line in now.lines] == [
            (line.key, line.name, line.at) for line in was.lines
        ]


# ---- CSV


def test_a_table_of_positions_and_back(tmp_path: Path, store: Store) -> None:
    border = grown(FULL, store)
    now = {line.key: line for line in plan_of(there_and_back(FULL, tmp_path, "csv")).lines}
    for planting in border.plantings:
        got = now[planting.key]
        # What stands in a drift has a place of its own in a table.
        assert got.name == planting.line.name and same(got.at, planting.points) and got.number == len(planting.points)


def test_a_table_is_text_to_a_spreadsheet(tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_text(
        'format: 1\nsite: {}\nplants:\n- {key: "=1+1", name: "@SUM(A1)", at: [1, 2]}\n- {key: B, name: "-x;y", at: [1.5, 2]}\n',
        "utf-8",
    )
    assert run("export", file, "--output", tmp_path / "a.csv", "--separator", "semicolon")[0] == 0
    rows = list(csv.reader(io.StringIO((tmp_path / "a.csv").read_text("utf-8")), delimiter=";"))
    assert rows[1][:4] == ["'=1+1", "'@SUM(A1)", "1.000", "2.000"] and rows[2][:4] == ["B", "'-x;y", "1.500", "2.000"]
    status, output = run("import", tmp_path / "a.csv", "--separator", "semicolon", "--output", tmp_path / "b.plan.yaml")
    assert status == 0, output
    assert [(line.key, line.name) for line in plan_of(tmp_path / "b.plan.yaml").lines] == [
        ("=1+1", "@SUM(A1)"),
        ("B", "-x;y"),
    ]


# ---- GeoJSON


def earth(longitude: float, latitude: float) -> tuple[float, float, float]:
    """Place on the ellipsoid WGS 84 in m from the middle of the earth."""
    a, e = 6378137.0, 0.0066943799901413165
    phi, lam = radians(latitude), radians(longitude)
    n = a / sqrt(1 - e * sin(phi) ** 2)
    return n * cos(phi) * cos(lam), n * cos(phi) * sin(lam), n * (1 - e) * sin(phi)


def test_places_on_the_globe(tmp_path: Path, store: Store) -> None:
    status, output = run("export", FULL, "--output", tmp_path / "a.geojson")
    assert status == 0 and "by its digits the whole may lie 8 km off" in " ".join(output.split())
    data = json.loads((tmp_path / "a.geojson").read_text("utf-8"))
    assert data["type"] == "FeatureCollection" and "crs" not in data
    plants: dict[str, list[list[float]]] = {}
    for feature in data["features"]:
        if feature["properties"]["what"] == "plant":
            plants.setdefault(feature["properties"]["key"], []).append(feature["geometry"]["coordinates"])
    border = grown(FULL, store)
    # Distances over the ellipsoid are those of the plan, to a millimetre.
    here = [(planting.points[0], plants[planting.key][0]) for planting in border.plantings]
    for place, on_globe in here:
        for other, elsewhere in here:
            assert dist(earth(*on_globe), earth(*elsewhere)) == pytest.approx(dist(place, other), abs=1e-3)
    # The front faces south-west: what stands further back lies to the north-east, and what is further right to the south-east.
    back, front = plants["ClA"][0], plants["CoA"][0]  # (7.8, 3.3) and (8.4, 0.9)
    assert back[0] > front[0] and back[1] > front[1]
    cornel = next(f["properties"] for f in data["features"] if f["properties"].get("key") == "CoM")
    size = border.size(border.by_key["CoM"], 10)
    assert size is not None and cornel["name"] == "Cornus mas" and cornel["season"] == 10 and cornel["quantity"] == 1
    assert (cornel["height"], cornel["spread"]) == (round(size.height.typical, 2), round(size.spread.typical, 2))
    for feature in data["features"]:
        if feature["geometry"]["type"] == "Polygon":
            (ring,) = feature["geometry"]["coordinates"]
            turned = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))
            assert ring[0] == ring[-1] and len(ring) >= 4 and turned > 0


@pytest.mark.parametrize("latitude", [0, 51.6, -37, 60])
@pytest.mark.parametrize("reach", [20.0, 100.0, 500.0])
def test_the_plane_is_as_far_off_as_it_is_said_to_be(latitude: float, reach: float, tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    ring = [(round(reach * cos(turn / 4 * pi), 3), round(reach * sin(turn / 4 * pi), 3)) for turn in range(8)]
    places = ", ".join(f"[{x}, {y}]" for x, y in [*ring, (0, 0)])
    site = f"{{latitude: {latitude}, longitude: -1.3, faces: SW}}"
    file.write_text(f"format: 1\nsite: {site}\nplants:\n- {{name: Cornus mas, at: [{places}]}}\n", "utf-8")
    status, output = run("export", file, "--output", tmp_path / "a.geojson")
    said = float(output.split("right to ")[1].split()[0]) / 1000
    globe = [
        earth(*f["geometry"]["coordinates"])
        for f in json.loads((tmp_path / "a.geojson").read_text("utf-8"))["features"]
    ]
    ring = [*ring, (0.0, 0.0)]
    off = max(abs(dist(globe[i], globe[j]) - dist(ring[i], ring[j])) for i in range(9) for j in range(9))
    assert status == 0 and off <= said + 1e-4 and said <= off + 3e-4


def test_no_globe_without_a_place(tmp_path: Path) -> None:
    status, output = run("export", DEMO_PLAN, "--output", tmp_path / "a.geojson")
    assert status == 2 and "does not say longitude" in output and not list(tmp_path.iterdir())


# ---- into a plan

PLAN = """\
format: 1   # by hand
site: {latitude: 51.6}
border: {outline: [[1, 1], [9, 1], [9, 5], [1, 5]]}
plants:
# the framework
- {key: CoM, name: Cornus mas, at: [2, 2]}   # keep an eye on it
- key: GeM
  name: Geranium macrorrhizum
  at: [[3, 2], [4, 2]]
- {key: TaB, name: Taxus baccata, at: [8, 4]}
"""


def office(file: Path, bed: bool = True) -> Path:
    """A drawing of that bed in mm in a country's grid: the cornel moved, the cranesbill as it was, a lavender new."""
    document = ezdxf.new("R2010", units=4)  # type: ignore[attr-defined]
    space = document.modelspace()

    def at(x: float, y: float) -> tuple[float, float]:
        return (x + 432_000) * 1000, (y + 181_000) * 1000

    if bed:
        space.add_lwpolyline(
            [at(*p) for p in ((1, 1), (9, 1), (9, 5), (1, 5))], close=True, dxfattribs={"layer": "BEDS"}
        )
    for word, places in (("CoM", [(2.5, 2.25)]), ("GeM", [(4, 2), (3, 2)]), ("Lavandula angustifolia", [(6, 1.5)])):
        for place in places:
            space.add_circle(at(*place), 150, {"layer": "PLANTS"})
            space.add_text(word, dxfattribs={"layer": "KEYS"}).set_placement(at(*place))
    document.saveas(file)
    return file


def test_places_into_a_plan_leave_the_rest_byte_for_byte(tmp_path: Path) -> None:
    plan = tmp_path / "a.plan.yaml"
    plan.write_text(PLAN, "utf-8")
    status, output = run("import", office(tmp_path / "a.dxf"), "--into", plan)
    assert status == 0, output
    changed = PLAN.replace("at: [2, 2]}", "at: [2.5, 2.25]}")
    assert plan.read_text("utf-8") == changed + "- {name: Lavandula angustifolia, at: [6, 1.5], x-drawn_spread: 0.3}\n"
    said = " ".join(output.split())
    assert (
        "Lines moved: CoM; added: Lavandula angustifolia; as they were: GeM; not in the drawing and left as they are: TaB."
        in said
    )
    # Once more there is nothing to do.
    before = plan.read_bytes()
    status, output = run("import", tmp_path / "a.dxf", "--into", plan)
    assert status == 0 and plan.read_bytes() == before


def test_into_a_plan_that_cannot_be_found_in_the_drawing(tmp_path: Path) -> None:
    plan, drawing = tmp_path / "a.plan.yaml", office(tmp_path / "a.dxf", bed=False)
    plan.write_text(PLAN, "utf-8")
    status, output = run("import", drawing, "--into", plan)
    assert (
        status == 2 and "nothing tells where the plan lies in the drawing" in output and plan.read_text("utf-8") == PLAN
    )
    plan.write_text(PLAN + "x-origin: {at: [432000, 181000], unit: mm}\n", "utf-8")
    assert run("import", drawing, "--into", plan)[0] == 0 and "at: [2.5, 2.25]}" in plan.read_text("utf-8")


def test_a_plan_that_came_of_a_drawing_finds_itself_in_it_again(tmp_path: Path) -> None:
    drawing, plan = office(tmp_path / "a.dxf"), tmp_path / "new.plan.yaml"
    assert run("import", drawing, "--output", plan)[0] == 0
    made = plan.read_bytes()
    status, output = run("import", drawing, "--into", plan)
    assert status == 0 and plan.read_bytes() == made and "as they were" in output


def test_a_drift_is_not_made_of_places(tmp_path: Path) -> None:
    plan = tmp_path / "a.plan.yaml"
    text = PLAN.replace("at: [[3, 2], [4, 2]]", "outline: [[3, 2], [4, 2], [4, 3]]")
    plan.write_text(text, "utf-8")
    status, output = run("import", office(tmp_path / "a.dxf"), "--into", plan)
    assert status == 1 and "GeM stands by an outline in the plan and otherwise in the drawing" in " ".join(
        output.split()
    )
    changed = text.replace("at: [2, 2]}", "at: [2.5, 2.25]}")
    assert plan.read_text("utf-8") == changed + "- {name: Lavandula angustifolia, at: [6, 1.5], x-drawn_spread: 0.3}\n"


@pytest.mark.parametrize("ending", ["dxf", "csv"])
def test_our_own_drawing_moves_nothing(ending: str, tmp_path: Path) -> None:
    plan, drawing = tmp_path / "a.plan.yaml", tmp_path / f"a.{ending}"
    plan.write_bytes(FULL.read_bytes())
    run("export", plan, "--output", drawing)
    status, output = run("import", drawing, "--into", plan, "--format", "json")
    moved = json.loads(output)["moved"]
    assert status == 0 and plan.read_bytes() == FULL.read_bytes()
    assert moved["moved"] == moved["added"] == moved["absent"] == [] and len(moved["unchanged"]) == 18


def test_a_plant_moved_in_our_own_drawing_moves_in_the_plan(tmp_path: Path) -> None:
    plan, file = tmp_path / "a.plan.yaml", tmp_path / "a.dxf"
    plan.write_bytes(FULL.read_bytes())
    run("export", plan, "--output", file)
    drawing = ezdxf.readfile(file)  # type: ignore[attr-defined]
    for insert in drawing.modelspace().query("INSERT"):
        if insert.get_attrib_text("KEY") == "VeB" and insert.dxf.layer == "PLANTS":
            insert.translate(0.2, 0, 0)
    # The whole is laid elsewhere: the mark of the plan's origin goes with it.
    for entity in drawing.modelspace():
        entity.translate(432_000, 181_000, 0)
    drawing.saveas(file)
    status, output = run("import", file, "--into", plan)
    assert status == 0, output
    assert plan.read_text("utf-8") == FULL.read_text("utf-8").replace(
        "Verbena bonariensis, at: [4.6, 1.8]", "Verbena bonariensis, at: [4.8, 1.8]"
    )


# ---- what is told, and what is refused


def test_what_is_told(tmp_path: Path) -> None:
    drawing = office(tmp_path / "a.dxf")
    status, output = run("import", drawing, "--output", tmp_path / "a.plan.yaml")
    said = " ".join(output.split())
    assert (
        status == 0
        and "read in mm, as the drawing says ($INSUNITS); the plan's origin lies at (432001.000, 181001.000) m in it."
        in said
    )
    assert "No plant is called 'CoM'; it is kept as written." in said and "30 cm" in said and "PLANTS plants 4" in said
    status, output = run("import", drawing, "--output", tmp_path / "b.plan.yaml", "--format", "json")
    data = json.loads(output)
    assert data["unit"] == "mm" and data["origin"] == [432001, 181001] and data["drawn_small"][0]["drawn"] == 0.3
    assert {"layer": "PLANTS", "taken_for": "plants", "things": 4} in data["layers"]


def test_everything_in_our_own_drawing_is_accounted_for(tmp_path: Path) -> None:
    run("export", FULL, "--output", tmp_path / "a.dxf")
    _, output = run("import", tmp_path / "a.dxf", "--output", tmp_path / "b.plan.yaml", "--format", "json")
    data, space = json.loads(output), ezdxf.readfile(tmp_path / "a.dxf").modelspace()  # type: ignore[attr-defined]
    left = {(row["layer"], row["why"]): row["number"] for row in data["left_out"]}
    assert {why for _, why in left} == {
        "it repeats a key or name that was read", "no single plant stands in its middle", "follows from the rest",
    }  # fmt: skip
    # Every thing is taken or left out, but for the tags, the origin and the crowns that are counted as both.
    tags = sum(insert.dxf.name in ("TAG", "BEDFELLOW-ORIGIN") for insert in space.query("INSERT"))
    both = left["CROWNS", "no single plant stands in its middle"]
    assert sum(row["things"] for row in data["layers"]) + sum(left.values()) + tags - both == len(space)


def test_a_plant_outside_the_bed_is_told(tmp_path: Path) -> None:
    document = ezdxf.new("R2010", units=6)  # type: ignore[attr-defined]
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (4, 0), (4, 2), (0, 2)], close=True, dxfattribs={"layer": "BEDS"})
    space.add_point((5, 1), {"layer": "Cornus mas"})
    document.saveas(tmp_path / "a.dxf")
    status, output = run("import", tmp_path / "a.dxf", "--output", tmp_path / "a.plan.yaml")
    assert (
        status == 1
        and "stands outside the bed, at (5, 1)" in " ".join(output.split())
        and (tmp_path / "a.plan.yaml").exists()
    )


def test_refusals(tmp_path: Path) -> None:
    drawing, plan = office(tmp_path / "a.dxf"), tmp_path / "a.plan.yaml"
    plan.write_text("mine", "utf-8")
    out = tmp_path / "out.plan.yaml"
    for words, why in [
        ((drawing,), "say either --output"),
        ((drawing, "--output", out, "--into", plan), "say either --output"),
        ((drawing, "--output", plan), "is there already; --replace writes it anew"),
        ((drawing, "--output", tmp_path / "none" / "a.plan.yaml"), "there is no folder"),
        ((drawing, "--output", drawing, "--replace"), "write to another file"),
        ((drawing, "--output", out, "--unit", "furlong"), "--unit is one of m, cm"),
        ((drawing, "--output", out, "--layer", "PLANTS"), "write a layer and what it holds"),
        ((drawing, "--output", out, "--layer", "PLANTS=tub"), "'tub' is nothing that a layer can hold"),
        ((drawing, "--output", out, "--layer", "plants=nothing", "--layer", "beds=nothing"), "nothing in it was understood"),
        ((drawing, "--output", out, "--layer", "TREES=plants"), "has no layer trees; its layers are 0, BEDS,"),
        ((drawing, "--output", out, "--front", "1,2"), "--front is '1,2'"),
        ((drawing, "--output", out, "--front", "1,2 nan,3"), "--front is"),
        ((tmp_path / "a.pdf", "--output", out), "a drawing ends in .dxf"),
        ((tmp_path / "none.dxf", "--output", out), "No such file"),
        ((drawing, "--into", plan), "cannot be read as a plan"),
    ]:  # fmt: skip
        status, output = run("import", *words)
        assert status == 2 and why in " ".join(output.split()), (words, output)
    assert plan.read_text("utf-8") == "mine" and not out.exists()
    assert (
        run("export", FULL, "--output", tmp_path / "a.png")[0] == 2 and run("export", FULL, "--output", drawing)[0] == 2
    )
    assert run("export", plan, "--output", tmp_path / "b.dxf")[0] == 2 and not (tmp_path / "b.dxf").exists()


def test_without_the_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    drawing = office(tmp_path / "a.dxf")
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    for words in (
        ("import", drawing, "--output", tmp_path / "b.plan.yaml"),
        ("export", FULL, "--output", tmp_path / "b.dxf"),
    ):
        status, output = run(*words)
        assert status == 2 and "pip install 'bedfellow[handover]'" in output
