"""``bedfellow border``: what a plan answers without being judged."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import DEMO, app

pytestmark = pytest.mark.usefixtures("store_in_cache")

PLAN = str(DEMO / "orchard-gate.plan.yaml")


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["border", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def data(*words: str) -> dict[str, object]:
    status, output = run(*words, "--format", "json")
    assert status == 0, output
    return json.loads(output)  # type: ignore[no-any-return]


def test_sizes_grow() -> None:
    found = data("sizes", PLAN, "--seasons", "10,1,3")
    assert found["seasons"] == [1, 3, 10]
    cornel = next(plant for plant in found["plants"] if plant["key"] == "CoM")["sizes"]  # type: ignore[attr-defined]
    heights = [cornel[season]["height"]["typical"] for season in ("1", "3", "10")]
    assert heights == sorted(heights) and cornel["10"]["height"] == {"low": 2.1, "typical": 2.8, "high": 3.5}
    status, output = run("sizes", PLAN)
    assert status == 0 and "Cornus mas (CoM)" in output and "2.80 × 2.20" in output and "gone" in output


def test_light_at_a_place_of_plants_and_on_the_ground() -> None:
    months = data("light", PLAN, "5,0.1")["months"]
    hours = [month["hours"] for month in months]  # type: ignore[attr-defined]
    assert hours.index(max(hours)) in (5, 6) and hours.index(min(hours)) == 11
    assert all(month["morning"] + month["midday"] <= month["hours"] + 0.01 for month in months)  # type: ignore[attr-defined]
    assert all(0 <= month[name] <= 1 for month in months for name in ("beam", "sky"))  # type: ignore[attr-defined]
    plants = {plant["key"]: plant for plant in data("light", PLAN)["plants"]}  # type: ignore[attr-defined]
    assert plants["SaC"]["june_hours"] > 6 and 0 < plants["SaC"]["share_of_beam"] <= 1
    ground = data("light", PLAN, "--ground")
    assert len(ground["share_of_beam"]) == len(ground["y"]) and len(ground["x"]) == 40  # type: ignore[arg-type]
    # Shade falls behind the shrubs and not in front of them: the front of a border that faces south-west is lit.
    assert min(ground["share_of_beam"][0]) > 0.9  # type: ignore[index]
    status, output = run("light", PLAN, "--ground")
    assert status == 0 and len(output.split("\n\n")[1].splitlines()) == len(ground["y"])  # type: ignore[arg-type]
    assert "January" in run("light", PLAN, "5,0.1")[1] and "Cornus mas (CoM)" in run("light", PLAN)[1]


def test_the_calendar() -> None:
    windows = data("calendar", PLAN, "--organ", "flower")["windows"]
    first = windows[0]  # type: ignore[index]
    assert (first["key"], first["organ"]) == ("CoM", "flower") and first["earliest"] < first["from"] < first[
        "to"
    ] < first["latest"]
    status, output = run("calendar", PLAN)
    assert status == 0 and "·FM·········" in output and "15 February" in output and "all year" in output


def test_cover() -> None:
    seasons = data("cover", PLAN, "--seasons", "1,3")["seasons"]
    assert seasons["3"][5]["any"] > seasons["1"][5]["any"] > seasons["1"][0]["any"]  # type: ignore[index]
    assert all(
        max(m["ground"], m["middle"], m["top"])
        <= m["any"] + 0.001
        <= 0.001 + m["ground"] + m["middle"] + m["top"] + 0.002
        for m in seasons["3"]
    )  # type: ignore[index]
    assert "January" in run("cover", PLAN)[1]


def test_sight(tmp_path: Path) -> None:
    # A yew before a cranesbill hides it from the front, not from the back; a deciduous cornel is there in winter too.
    plan = tmp_path / "a.plan.yaml"
    plan.write_text(
        "format: 1\nsite: {latitude: 52, faces: S}\nborder: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\n"
        "viewing: [{side: front}, {at: [3, 6], eye: 1.6, name: the kitchen}]\nplants:\n"
        "- {key: TaB, name: Taxus baccata, at: [3, 0.6]}\n- {key: GeM, name: Geranium phaeum, at: [3, 2.4]}\n", "utf-8",
    )  # fmt: skip
    found = data("sight", str(plan), "--season", "10")
    front, kitchen = found["places"]  # type: ignore[misc]
    assert (front["name"], kitchen["name"], kitchen["at"], kitchen["eye"]) == ("front", "the kitchen", [3, 6], 1.6)
    seen = {place["name"]: {plant["key"]: plant["seen"] for plant in place["plants"]} for place in (front, kitchen)}
    assert seen["front"]["TaB"] == [1] * 12 and seen["front"]["GeM"][5] < 0.6 and seen["the kitchen"]["GeM"][5] == 1
    assert seen["front"]["GeM"][0] is None and seen["the kitchen"]["TaB"][0] == 1
    elevation = found["front_elevation"]
    assert (elevation["left"], elevation["right"]) == (0, 6) and {len(month) for month in elevation["heights"]} == {60}  # type: ignore[index]
    sizes = data("sizes", str(plan), "--seasons", "10")["plants"][0]["sizes"]["10"]  # type: ignore[index]
    assert max(elevation["heights"][0]) == pytest.approx(sizes["height"]["typical"], abs=0.05)  # type: ignore[index]
    status, output = run("sight", str(plan))
    assert status == 0 and "the kitchen" in output and "Taxus baccata (TaB)" in output
    assert "no border that could" in run("sight", str(shorn(plan)))[1]


def shorn(plan: Path) -> Path:
    """The plan without its border."""
    lines = plan.read_text("utf-8").splitlines(True)
    plan.write_text("".join(line for line in lines if not line.startswith(("border:", "viewing:"))), "utf-8")
    return plan


def test_what_is_free_to_dig(tmp_path: Path) -> None:
    plan = tmp_path / "a.plan.yaml"
    plan.write_text(
        "format: 1\nsite: {latitude: 52}\nborder: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]]}\n"
        "retained:\n- {key: QuR, name: Quercus robur, at: [10, 10], stems: [400 mm], action: keep}\n"
        "plants:\n- {key: GeM, name: Geranium macrorrhizum, at: [2, 2]}\n", "utf-8",
    )  # fmt: skip
    # BS 5837: twelve times the stem, 4.8 m about the tree.
    assert data("cover", str(plan), "--seasons", "1")["free_to_dig"] == {
        "1": pytest.approx(1 - 3.1416 * 4.8**2 / 400, abs=0.005)
    }
    assert "free to dig" in run("cover", str(plan))[1]


def test_unsure(tmp_path: Path) -> None:
    plan = tmp_path / "a.plan.yaml"
    plan.write_text(
        "format: 1\nsite: {latitude: 52, faces: S, texture: loam, moisture: moist well-drained, minimum_temperature: -9}\n"
        "border: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\nbrief: {winter_matters: no, children: [12]}\n"
        "plants:\n- {key: RhW, name: Rhododendron 'Koichiro Wada', at: [3, 1.5]}\n", "utf-8",
    )  # fmt: skip
    facts = {fact["fact"]: fact for fact in data("unsure", str(plan))["facts"]}  # type: ignore[attr-defined]
    reaction = facts["the soil's pH"]
    assert reaction["tried"] == ["5.5", "7.8"] and reaction["new"] == [{"code": "SITE-01", "keys": ["RhW"]}]
    assert reaction["not_judged_for_want_of_it"] == ["SITE-01"]
    assert (
        next(iter(facts)) == "the soil's pH" and facts["the height of Rhododendron 'Koichiro Wada' (RhW)"]["new"] == []
    )
    status, output = run("unsure", str(plan), "--most", "1")
    assert status == 0 and "the soil's pH" in output and "others would change nothing" in output
    heading, first = output.splitlines()[:2]
    for column in ("findings", "wait for it"):  # what would be found, apart from what cannot be judged without it
        assert first[heading.index(column) :].startswith("SITE-01"), output


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("sizes", "nowhere.yaml"), "cannot be read as a plan: there is no such file"), (("sizes", "."), "this is a folder"), (("sizes", "\x1b[2J"), "\\u001b[2J"), (("sizes", PLAN, "--seasons", "1,99"), "seasons from 0 to 20"),
        (("sizes", PLAN, "--seasons", "now"), "seasons from 0 to 20"), (("light", PLAN, "here"), "is no place"),
        (("calendar", PLAN, "--organ", "roots"), "--organ is one of"),
    ],
)  # fmt: skip
def test_what_cannot_be_answered(words: tuple[str, ...], told: str) -> None:
    status, output = run(*words)
    assert status == 2 and told in output


def test_a_plan_that_says_too_little(tmp_path: Path) -> None:
    plan = tmp_path / "a.plan.yaml"
    plan.write_text("format: 1\nplants:\n- {name: Taxus baccata, at: [1, 1]}\n", "utf-8")
    assert "does not say the latitude" in run("light", str(plan))[1]
    assert "no border whose ground" in run("cover", str(plan))[1]
    plan.write_text("format: 1\nplants:\n- {name: Nulla nulla, at: [1, 1]}\n", "utf-8")
    assert run("sizes", str(plan))[0] == 2


FULL = str(Path(__file__).parents[2] / "schema" / "full.plan.yaml")


def test_retained_or_removed(tmp_path: Path) -> None:
    oak, apple = data("retained", FULL)["plants"]  # type: ignore[misc]
    # BS 5837: 12 · √(0.18² + 0.14²) m.
    assert (oak["key"], oak["action"], oak["roots"]["radius"]) == ("T1", "keep", pytest.approx(2.736, abs=1e-3))
    assert (
        [one["code"] for one in oak["if_it_goes"]["gone"]]
        == ["TREE-01"]
        == [one["code"] for one in oak["if_it_stays"]["new"]]
    )
    assert oak["protected"] is True and "26/0412" in oak["ask"][0] and any(h["severity"] == 3 for h in oak["hazards"])
    assert not apple["known"] and apple["action"] == "move" and len(apple["could_not_judge"]) == 3
    status, output = run("retained", FULL, "--season", "20")
    said = " ".join(output.split())
    assert status == 0 and "in season 20" in said and "the plan has it moved" in said and "licensed" in said
    status, output = run("retained", PLAN)
    assert status == 0 and output.startswith("The plan names no plant that was there before")
    hostile = tmp_path / "a.plan.yaml"
    hostile.write_text('format: 1\nretained:\n- {name: "\\e[31mRed", at: [1, 1], height: 3, crown: 1}\n', "utf-8")
    status, output = run("retained", str(hostile))
    assert status == 0 and "\x1b" not in output and "\\u001b[31mRed" in output
    assert run("retained", str(tmp_path / "none.plan.yaml"))[0] == 2
