"""``bedfellow handover``: the whole pack in a folder, or a refusal and nothing."""

from __future__ import annotations

import errno
import importlib.util
import os
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import DEMO, app

pytestmark = pytest.mark.usefixtures("store_in_cache")

FILES = {
    "handover.pdf", "schedules.xlsx", "calendar.ics", "order.csv", "plants.csv", "bulbs.csv", "temporary-plants.csv", "supports.csv",
    "setting-out.csv", "tasks.csv",
}  # fmt: skip
PLAN = """\
format: 1
planted: 2026-10
site: {latitude: 51.6, faces: S, ph: 6.8}
border: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}
plants:
- {key: A, name: Viburnum tinus, at: [2, 1.5]}
"""


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    file = tmp_path / "small.plan.yaml"
    file.write_text(PLAN, "utf-8")
    return file


def run(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["handover", *map(str, words), "--today", "2026-11-25"])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_whole_pack_twice_the_same(plan: Path, tmp_path: Path) -> None:
    status, output = run(plan, tmp_path / "one")
    assert status == 0, output
    assert set(state(tmp_path / "one")) == FILES
    assert all(name in output for name in FILES)
    assert run(plan, tmp_path / "two")[0] == 0
    assert state(tmp_path / "one") == state(tmp_path / "two")


def test_a_former_pack_is_replaced_only_where_that_is_said(plan: Path, tmp_path: Path) -> None:
    folder = tmp_path / "pack"
    folder.mkdir()
    (folder / "mine.txt").write_text("mine")
    (folder / "calendar.ics").write_text("old")
    status, output = run(plan, folder)
    assert status == 2
    assert "calendar.ics would be written over" in output
    assert state(folder) == {"mine.txt": b"mine", "calendar.ics": b"old"}
    assert run(plan, folder, "--replace")[0] == 0
    assert set(state(folder)) == {*FILES, "mine.txt"}
    assert (folder / "calendar.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("plants: [", "cannot be read as a plan"),
        ("plants: 3", "cannot be read as a plan"),
        ("format: 1\nsite: {ph: 7}\nplants:\n- {key: A, name: Nonsensia, at: [1, 1]}\n", "no plant in"),
        ("format: 1\nsite: {ph: 7}\nplants: []", "no plant in"),
        ("format: 1\nplants:\n- {key: A, name: Cornus mas, at: here}\n", "cannot be read as a plan"),
        (
            "format: 1\nsite: {}\nborder: {outline: [[0, 0], [4, 0], [4, 3], [0, 3]]}\nplants:\n- {key: A, name: Cornus mas, at: [1, 1]}\n"
            "- {key: B, name: Taxus baccata, at: [400, 100]}\n",
            "would leave out what cannot be placed: (400, 100) lies far outside the bed",
        ),
    ],
)
def test_what_is_no_plan_or_has_no_plant_is_refused(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "bad.plan.yaml"
    file.write_text(text, "utf-8")
    status, output = run(file, tmp_path / "pack")
    assert (status, said in output) == (2, True), output
    assert [path.name for path in tmp_path.iterdir()] == ["bad.plan.yaml"]


def test_a_missing_plan_is_refused(tmp_path: Path) -> None:
    status, output = run(tmp_path / "none.plan.yaml", tmp_path / "pack")
    assert (status, "there is no such file" in output) == (2, True)
    assert list(tmp_path.iterdir()) == []


def test_there_must_be_a_folder_to_write_into(plan: Path, tmp_path: Path) -> None:
    assert run(plan, plan)[0] == 2
    assert run(plan, tmp_path / "missing" / "pack")[0] == 2
    (tmp_path / "pack" / "plants.csv").mkdir(parents=True)
    status, output = run(plan, tmp_path / "pack", "--replace")
    assert (status, "under the name of a file of the pack" in output) == (2, True)


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS])
def test_a_disk_that_is_full_or_read_only_leaves_nothing(
    plan: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    real, count = Path.write_bytes, 0

    def full(self: Path, data: Any) -> int:
        nonlocal count
        count += 1
        if count == 4:
            raise OSError(number, os.strerror(number))
        return real(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    status, output = run(plan, tmp_path / "pack")
    assert status == 2
    assert os.strerror(number) in output
    assert [path.name for path in tmp_path.iterdir()] == ["small.plan.yaml"]


def test_what_is_not_installed_is_told_with_what_to_install(
    plan: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "typst" else real(name))
    status, output = run(plan, tmp_path / "pack")
    assert (status, "pip install 'bedfellow[handover]'" in output) == (2, True)


def test_a_scale_that_does_not_fit_is_refused(plan: Path, tmp_path: Path) -> None:
    plan.write_text(PLAN.replace("[6, 0], [6, 3]", "[90, 0], [90, 3]"), "utf-8")
    status, output = run(plan, tmp_path / "pack", "--scale", "20")
    assert (status, "1:20" in output) == (2, True)
    assert not (tmp_path / "pack").exists()


def test_faults_that_are_left_are_told(tmp_path: Path) -> None:
    status, output = run(DEMO / "orchard-gate.plan.yaml", tmp_path / "pack")
    assert status == 0
    assert "still to be put right" in output
