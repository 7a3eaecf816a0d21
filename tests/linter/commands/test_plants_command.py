"""``bedfellow plants``: asking for plants, as a designer would."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import DEMO, app

PLAN = str(DEMO / "orchard-gate.plan.yaml")
pytestmark = pytest.mark.usefixtures("store_in_cache")


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["plants", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def test_show_by_any_name() -> None:
    status, output = run("show", "Rosmarinus", "officinalis")
    assert status == 0 and output.startswith("'Rosmarinus officinalis' is a synonym of\nSalvia rosmarinus (species)")
    status, output = run("show", "Osmanthus x burkwoodii", "--format", "json")
    plant = json.loads(output)
    assert plant["name"] == "Osmanthus × burkwoodii" and plant["traits"]["foliage"]["value"] == "evergreen"
    assert {statement["source"] for statement in plant["statements"]} >= {"memory"}
    status, output = run("show", "Osmantus burkwoodi")
    assert status == 2 and "nearest: Osmanthus × burkwoodii" in output


def test_every_source_is_shown() -> None:
    plant = json.loads(run("show", "Cornus mas", "--format", "json")[1])
    by_trait: dict[str, set[str]] = {}
    for statement in plant["statements"]:
        by_trait.setdefault(statement["trait"], set()).add(statement["source"])
    twice = {trait for trait, sources in by_trait.items() if len(sources) > 1}
    assert twice and run("show", "Cornus mas")[1].count(": another source") == sum(len(by_trait[t]) - 1 for t in twice)


def test_find() -> None:
    status, output = run(
        "find", "height 60 cm to 1.2 m", "flower July", "not hazards dogs", "--most", "5", "--site", PLAN
    )
    assert status == 0 and output.splitlines()[0].split()[:3] == ["plant", "fit", "height"]
    assert "the first 5 shown" in output and "no entry does not mean safe" in output
    assert max(map(len, output.splitlines())) <= 100
    told = json.loads(
        run("find", "flower July", "--rather", "height 1 m", "--layer", "middle", "--format", "json", "--most", "3")[1]
    )
    assert len(told["plants"]) == 3 and told["found"] > 3 and told["caution"]
    assert [reason["trait"] for reason in told["plants"][0]["reasons"]] == ["flower", "height"]
    assert all(
        {"value", "source", "level", "fit"} <= set(reason) for plant in told["plants"] for reason in plant["reasons"]
    )
    assert run("find", "height at least 200 m")[0] == 1


def test_compare() -> None:
    status, output = run("compare", "Cornus mas", "cornelian cherry", "Taxus baccata")
    assert status == 0 and output.splitlines()[0].split("  ")[0] == "trait" and "foliage" in output
    assert "life form" in output and "leaf size" in run("compare", "Cornus mas", "Cornus sanguinea", "--every")[1]
    assert len(json.loads(run("compare", "Cornus mas", "Taxus baccata", "--format", "json")[1])["plants"]) == 2


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("find",), "say what the plant must be"), (("find", "hieght 2"), "begins with no trait"),
        (("find", "flower July", "--layer", "sky"), "--layer is one of"), (("find", "--site", "nowhere.yaml"), "cannot be read as a plan"),
        (("compare", "Cornus mas"), "two plants or more"), (("compare", "Cornus mas", "cornelian cherry"), "are one plant"),
        (("fill", PLAN, "here"), "is no place"), (("fill", PLAN, "1.8,2.2"), "stands there"), (("fill", PLAN, "nan,1"), "no place"),
        (("fill", PLAN, "50,50"), "outside the bed"), (("fill", "nowhere.yaml", "1,1"), "cannot be read as a plan"),
    ],
)  # fmt: skip
def test_what_cannot_be_answered(words: tuple[str, ...], told: str) -> None:
    status, output = run(*words)
    assert status == 2 and told in output


def test_fill() -> None:
    status, output = run("fill", PLAN, "5.2,1.2", "--most", "2")
    assert (
        status == 0
        and "At (5.2, 1.2): room for" in output
        and "pH 7.4" in output
        and "no entry does not mean safe" in output
    )
    status, output = run("fill", PLAN, "flower July", "--most", "1")
    assert status == 0 and output.startswith("At (") and "room for" in output
    told = json.loads(run("fill", PLAN, "5.2,1.2", "life form fern", "--most", "1", "--format", "json")[1])
    assert told["place"]["light"] == ["full sun"] and all(plant["new"] == [] for plant in told["plants"])


def test_fill_judges_by_the_settings_and_says_what_it_could_not_read(tmp_path: Path) -> None:
    plan = tmp_path / "a.plan.yaml"
    plan.write_text(Path(PLAN).read_text("utf-8").replace("at: [7.2, 2.6]", "at: [7.2]"), "utf-8")
    assert "parts of the plan could not be read" in run("fill", str(plan), "5.2,1.2", "--most", "1")[1]
    settings = tmp_path / "bedfellow.yaml"
    settings.write_text("format: 1\nchecks: {SPACE-01: {woody_warning: wide}}\n", "utf-8")
    status, output = run("fill", str(plan), "5.2,1.2", "--most", "1")
    assert status == 2 and "the settings are at fault" in output


def test_traits() -> None:
    rows = json.loads(run("traits", "--format", "json")[1])
    assert {"trait": "drought", "kind": "class"}.items() <= next(
        row for row in rows if row["trait"] == "drought"
    ).items()
    assert "height" in run("traits")[1]
