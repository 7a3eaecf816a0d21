"""All files of a pack or none."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest

from bedfellow.linter.report.handover.folder import in_the_way, put

FILES = {"a.txt": b"new a", "b.txt": b"new b", "c.txt": b"new c"}


def state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_new_folder_holds_all_files_and_nothing_else(tmp_path: Path) -> None:
    put(tmp_path / "pack", FILES)
    assert state(tmp_path / "pack") == FILES
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]
    assert (tmp_path / "pack").stat().st_mode & 0o777 == 0o755
    assert (tmp_path / "pack" / "a.txt").stat().st_mode & 0o777 == 0o644


def test_files_of_ours_are_replaced_and_others_left_alone(tmp_path: Path) -> None:
    (tmp_path / "b.txt").write_bytes(b"old b")
    (tmp_path / "mine.txt").write_bytes(b"mine")
    assert in_the_way(tmp_path, FILES) == ["b.txt"]
    put(tmp_path, FILES)
    assert state(tmp_path) == {**FILES, "mine.txt": b"mine"}


def test_a_link_is_replaced_and_not_written_through(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_bytes(b"precious")
    folder = tmp_path / "pack"
    folder.mkdir()
    (folder / "b.txt").symlink_to(tmp_path / "elsewhere")
    put(folder, FILES)
    assert (tmp_path / "elsewhere").read_bytes() == b"precious"
    assert state(folder) == FILES


@pytest.mark.parametrize("there", [True, False])
@pytest.mark.parametrize("fails_at", range(8))
def test_after_any_failure_the_folder_is_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool, fails_at: int
) -> None:
    """The disk is full at the nth write or move, whichever that is."""
    folder = tmp_path / "pack"
    if there:
        folder.mkdir()
        (folder / "a.txt").write_bytes(b"old a")
        (folder / "c.txt").write_bytes(b"old c")
        (folder / "mine.txt").write_bytes(b"mine")
    before = state(folder) if there else None
    count = 0
    failed = False

    def failing(real: Any) -> Any:
        def call(*args: Any) -> Any:
            nonlocal count, failed
            count += 1
            if count == fails_at + 1:
                failed = True
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return real(*args)

        return call

    monkeypatch.setattr(Path, "write_bytes", failing(Path.write_bytes))
    monkeypatch.setattr(Path, "rename", failing(Path.rename))
    try:
        put(folder, FILES)
    except OSError as error:
        assert error.errno == errno.ENOSPC
        assert failed
        assert folder.exists() == there
        if there:
            assert state(folder) == before
        assert [path.name for path in tmp_path.iterdir()] == (["pack"] if there else [])
    else:
        assert not failed  # fewer steps than that
        assert {name: state(folder)[name] for name in FILES} == FILES


def test_a_folder_that_may_not_be_written_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file"):
        put(tmp_path / "missing" / "pack", FILES)
    assert list(tmp_path.iterdir()) == []
