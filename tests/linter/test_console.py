"""Files that commands write: whole or absent, and nothing in their place that was not meant."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
import typer

from bedfellow.linter.console import deliver, free, whole_file, write


def by_text(output: Path) -> None:
    write("new", output)


def by_bytes(output: Path) -> None:
    deliver(b"new", output)


WAYS = pytest.mark.parametrize("put", [by_text, by_bytes])
Put = Callable[[Path], None]


@WAYS
def test_a_file_is_replaced_and_nothing_is_left_beside_it(tmp_path: Path, put: Put) -> None:
    (tmp_path / "a").write_text("former")
    put(tmp_path / "a")
    assert (tmp_path / "a").read_text() == "new" and [path.name for path in tmp_path.iterdir()] == ["a"]


@WAYS
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes by name")
def test_a_pipe_stays_one(tmp_path: Path, put: Put) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDWR | os.O_NONBLOCK)
    try:
        put(pipe)
        assert os.read(reader, 10) == b"new" and stat.S_ISFIFO(pipe.stat().st_mode)
    finally:
        os.close(reader)


@WAYS
def test_a_link_stays_one_and_leads_to_what_was_written(tmp_path: Path, put: Put) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "there" / "a").write_text("former")
    (tmp_path / "link").symlink_to(tmp_path / "there" / "a")
    put(tmp_path / "link")
    assert (tmp_path / "link").is_symlink() and (tmp_path / "there" / "a").read_text() == "new"


def test_what_breaks_off_leaves_the_former_file(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("former")
    with pytest.raises(KeyError), whole_file(tmp_path / "a") as file:
        file.write("half")
        raise KeyError
    assert (tmp_path / "a").read_text() == "former" and [path.name for path in tmp_path.iterdir()] == ["a"]


def test_where_a_file_may_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan, other, new = tmp_path / "a.plan.yaml", tmp_path / "b", tmp_path / "c"
    plan.write_text("mine")
    other.write_text("mine")
    free(new, False, plan)
    free(other, True, plan)
    if Path(os.devnull).exists():
        free(Path(os.devnull), False, plan)
    for output, replace, why in (
        (plan, True, "write to another file"),
        (tmp_path / "." / "a.plan.yaml", True, "write to another file"),
        (other, False, "--replace writes it anew"),
        (tmp_path, True, "is a folder"),
        (tmp_path / "none" / "c", True, "there is no folder"),
    ):
        with pytest.raises(typer.Exit) as end:
            free(output, replace, plan)
        assert end.value.exit_code == 2 and why in capsys.readouterr().err
