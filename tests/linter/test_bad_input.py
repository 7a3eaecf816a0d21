"""Wrong files: a clear message with its place, the right exit status, never a traceback."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app
from bedfellow.traits_db.library import Library

PLAN = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 6.8}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
plants:
- {key: CoM, name: Cornus mas, at: [1.8, 1.9]}
"""


@pytest.fixture
def run(store, monkeypatch):  # type: ignore[no-untyped-def]
    """The command with the session's store; (exit status, output)."""
    monkeypatch.setattr("bedfellow.linter.cli.library_of", lambda given: Library(given, store))

    def call(*words: str) -> tuple[int, str]:
        result = CliRunner().invoke(app, list(words))
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return result.exit_code, result.output

    return call


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"plants: [", "YAML|end|bracket"),
        (b"a: \x00", "NUL"),
        (b"title: caf\xe9\n", "UTF-8"),
        (b"just words\n", "mapping|plan"),
        (PLAN.replace("format: 1", "format: 1\nformat: 1").encode(), "format"),
        (b"a: &a [x, x, x, x, x, x, x, x, x]\nb: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a]\nc: &c [*b, *b, *b, *b, *b, *b, *b, *b]\n"
         b"d: &d [*c, *c, *c, *c, *c, *c, *c, *c]\ne: &e [*d, *d, *d, *d, *d, *d, *d, *d]\nf: &f [*e, *e, *e, *e, *e, *e, *e]\n", "alias"),
        (b"[" * 5000 + b"]" * 5000, "deep"),
        (PLAN.replace("latitude", "latitud").encode(), "did you mean 'latitude'"),
        (PLAN.replace("format: 1", "format: 2").encode(), "format|1"),
        (PLAN.replace("plants:", "plants: 3\nx-rest:").encode(), "list"),
        (PLAN.replace("site: {", "site: 3\nx-site: {").encode(), "mapping"),
    ],
    ids=["empty", "half typed", "NUL", "encoding", "no plan", "repeated key", "alias bomb", "depth bomb", "unknown key", "newer format",
         "plants no list", "site no mapping"],
)  # fmt: skip
def test_cannot_be_read(run, tmp_path: Path, content: bytes, says: str):  # type: ignore[no-untyped-def]
    file = tmp_path / "wrong.plan.yaml"
    file.write_bytes(content)
    status, output = run("lint", str(file), "--format", "gnu")
    assert status == 2
    assert re.search(says, output), output
    assert re.search(r"wrong\.plan\.yaml:\d+\.\d+-\d+\.\d+: error: ", output)


def test_missing_file_folder_and_large_file(run, tmp_path: Path):  # type: ignore[no-untyped-def]
    large = tmp_path / "large.plan.yaml"
    with large.open("wb") as file:
        file.truncate(100 * 1024 * 1024)
    for name, says in ((tmp_path / "none.plan.yaml", "no such file"), (tmp_path, "folder"), (large, "too large")):
        status, output = run("lint", str(name))
        assert (status, says in output.lower()) == (2, True), output


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("at: [1.8, 1.9]", "at: [9.8, 1.9]", "outside the bed"),
        ("at: [1.8, 1.9]", "at: [180, 190]", "metres"),
        ("at: [1.8, 1.9]", "at: [.nan, 1.9]", "number"),
        ("at: [1.8, 1.9]", "at: [.inf, 1.9]", "number"),
        ("[[0, 0], [7, 0], [7, 3.6], [0, 3.6]]", "[[0, 0], [7, 3.6], [7, 0], [0, 3.6]]", "crosses itself"),
        ("at: [1.8, 1.9]", "at: [1.8, 1.9], clear_stem: -1", "below 0"),
    ],
)
def test_geometry(run, tmp_path: Path, old: str, new: str, says: str):  # type: ignore[no-untyped-def]
    file = tmp_path / "wrong.plan.yaml"
    file.write_text(PLAN.replace(old, new), "utf-8")
    status, output = run("lint", str(file), "--format", "json")
    findings = json.loads(output)["plans"][0]["findings"]
    told = [finding["message"] for finding in findings if finding["code"] == "PLAN-03"]
    assert status == 1 and told and says in told[0], output


def test_no_plants_is_not_green(run, tmp_path: Path):  # type: ignore[no-untyped-def]
    file = tmp_path / "none.plan.yaml"
    file.write_text(PLAN.split("plants:")[0] + "plants: []\n", "utf-8")
    status, output = run("lint", str(file))
    assert status == 1
    assert "nothing to judge" in output


def test_one_bad_plan_does_not_hide_another(run, tmp_path: Path):  # type: ignore[no-untyped-def]
    good, bad = tmp_path / "good.plan.yaml", tmp_path / "bad.plan.yaml"
    good.write_text(PLAN, "utf-8")
    bad.write_text("plants: [", "utf-8")
    status, output = run("lint", str(bad), str(good), "--format", "json")
    assert status == 2
    plans = json.loads(output)["plans"]
    assert [plan["file"] for plan in plans] == [str(bad), str(good)]
    assert plans[1]["findings"]


def test_wrong_words(run, tmp_path: Path):  # type: ignore[no-untyped-def]
    file = tmp_path / "a.plan.yaml"
    file.write_text(PLAN, "utf-8")
    assert run("lint", str(file), "--only", "NONE-99")[0] == 2
    assert run("lint", str(file), "--today", "tomorrow")[0] == 2
    status, output = run("about", "NONE-99")
    assert status == 2 and "their families are" in output
    assert "is 'SPACE-01' meant?" in run("about", "SPAC-01")[1]
    assert run("plants", "show", "Cornus maz")[0] == 2
    assert run("lint", str(file), "--output", str(tmp_path / "no" / "where.txt"))[0] == 2


def test_control_characters_never_reach_the_terminal(run, tmp_path: Path):  # type: ignore[no-untyped-def]
    file = tmp_path / "a.plan.yaml"
    file.write_text(PLAN.replace("format: 1", 'format: 1\ntitle: "\\e[31mred \\u202e"'), "utf-8")
    _, output = run("lint", str(file))
    assert "\x1b" not in output and "\u202e" not in output
    picture = tmp_path / "a.svg"
    file.write_text(PLAN.replace("format: 1", "format: 1\ntitle: '<script>alert(1)</script>'"), "utf-8")
    assert run("draw", str(file), "--output", str(picture))[0] == 0
    assert "<script" not in picture.read_text("utf-8")
