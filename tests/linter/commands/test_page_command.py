"""``bedfellow page``: one file, whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import DEMO, app

PLAN = DEMO / "orchard-gate-mended.plan.yaml"
SMALL = "format: 1\nsite: {latitude: 51.6, faces: S}\nborder: {outline: [[0, 0], [3, 0], [3, 2], [0, 2]]}\nplants:\n- {key: CoM, name: Cornus mas, at: [1, 1]}\n"


@pytest.fixture(autouse=True)
def store_in_cache(store: object, filled: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(filled))
    monkeypatch.setenv("COLUMNS", "200")


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    file = tmp_path / "small.plan.yaml"
    file.write_text(SMALL, "utf-8")
    return file


def run(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["page", *map(str, words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def test_it_writes_one_file_and_says_how_large(tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    status, output = run(PLAN, "--output", file, "--today", "2026-11-25")
    assert status == 0 and f"{len(file.read_bytes()) / 1000:,.0f} kB" in output
    html = file.read_text("utf-8")
    assert html.startswith("<!doctype html>") and "Accepted" in html
    assert "the client was told and the cat leaves the border alone" in html and "2026-11-25" in html


def test_a_file_that_is_there_stays_unless_it_is_to_be_replaced(plan: Path, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_text("mine", "utf-8")
    status, output = run(plan, "--output", file)
    assert status == 2 and "--replace" in output and file.read_text("utf-8") == "mine"
    assert run(plan, "--output", file, "--replace")[0] == 0 and file.read_text("utf-8") != "mine"


def test_the_same_plan_writes_the_same_bytes(plan: Path, tmp_path: Path) -> None:
    for name in ("one.html", "other.html"):
        assert run(plan, "--output", tmp_path / name, "--today", "2026-11-25", "--season", 3)[0] == 0
    assert (tmp_path / "one.html").read_bytes() == (tmp_path / "other.html").read_bytes()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--season", "11"], "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20, not 11"),
        (["--today", "yesterday"], "is no date"),
        (["--records", "/nowhere"], "is not a folder of records"),
    ],
)
def test_what_cannot_be_asked(plan: Path, tmp_path: Path, words: list[str], said: str) -> None:
    status, output = run(plan, "--output", tmp_path / "page.html", *words)
    assert status == 2 and said in output and not (tmp_path / "page.html").exists()


def test_where_it_cannot_be_written(plan: Path, tmp_path: Path) -> None:
    status, output = run(plan, "--output", tmp_path / "none" / "page.html")
    assert status == 2 and "there is no folder" in output
    status, output = run(plan, "--output", plan, "--replace")
    assert status == 2 and "is the plan" in output and plan.read_text("utf-8") == SMALL
    status, output = run(plan, "--output", tmp_path, "--replace")
    assert (
        status == 2
        and "is a folder" in output
        and sorted(path.name for path in tmp_path.iterdir()) == ["small.plan.yaml"]
    )


def test_what_is_no_plan(tmp_path: Path) -> None:
    file = tmp_path / "broken.plan.yaml"
    file.write_text("[1, 2", "utf-8")
    status, output = run(file, "--output", tmp_path / "page.html")
    assert status == 2 and "bedfellow lint" in output and not (tmp_path / "page.html").exists()


def test_settings_of_the_repository_hold(plan: Path, tmp_path: Path) -> None:
    run(plan, "--output", tmp_path / "before.html")
    assert "PLAN-04" in (tmp_path / "before.html").read_text("utf-8")
    (tmp_path / "bedfellow.yaml").write_text("format: 1\nwithout: [PLAN-04]\n", "utf-8")
    status, output = run(plan, "--output", tmp_path / "after.html")
    assert status == 0, output
    assert ">PLAN-04<" not in (tmp_path / "after.html").read_text("utf-8")


def test_repairs_are_tried_when_asked(tmp_path: Path) -> None:
    file = tmp_path / "crowded.plan.yaml"
    file.write_text(SMALL + "- {key: Gem, name: Geranium macrorhizum, at: [2, 1]}\n", "utf-8")
    assert run(file, "--output", tmp_path / "page.html", "--repairs", "--today", "2026-11-25")[0] == 0
    assert "Tried:" in (tmp_path / "page.html").read_text("utf-8")
