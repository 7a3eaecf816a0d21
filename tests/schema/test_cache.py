"""Files kept in the user's cache are whole or absent, whoever builds them at once."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from bedfellow.schema.cache import cached, directory


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def writing(text: str) -> Callable[[Path], None]:
    def build(path: Path) -> None:
        path.write_text(text)

    return build


def test_built_once_by_content(tmp_path: Path) -> None:
    built: list[Path] = []

    def build(path: Path) -> None:
        built.append(path)
        path.write_text("made")

    first = cached("a.txt", b"one", build)
    assert first.read_text() == "made" and first.name == "a.txt"
    assert directory() in first.parents and tmp_path / "cache" in first.parents
    assert cached("a.txt", b"one", build) == first
    assert len(built) == 1
    assert cached("a.txt", b"two", build) != first
    assert cached("b.txt", b"one", build).parent != first.parent
    assert len(built) == 3


def test_a_build_that_fails_leaves_nothing() -> None:
    def fail(path: Path) -> None:
        path.write_text("half")
        raise OSError("disk full")

    with pytest.raises(OSError, match="disk full"):
        cached("a.txt", b"x", fail)
    assert [path for path in directory().rglob("*") if path.is_file()] == []
    assert cached("a.txt", b"x", writing("whole")).read_text() == "whole"


def test_an_unwritable_cache_still_answers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "cache").write_text("a file where the folder should be")
    path = cached("a.txt", b"x", writing("made"))
    assert path.read_text() == "made"
    assert tmp_path not in path.parents


def test_several_at_once(tmp_path: Path) -> None:
    ready = threading.Barrier(8)
    found: list[tuple[Path, str]] = []

    def build(path: Path) -> None:
        ready.wait(timeout=10)
        path.write_text("x" * 100_000)

    def ask() -> None:
        path = cached("a.txt", b"x", build)
        found.append((path, path.read_text()))

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {path for path, _ in found} == {found[0][0]} and len(found) == 8
    assert {text for _, text in found} == {"x" * 100_000}
    assert list(found[0][0].parent.iterdir()) == [found[0][0]]


def test_only_so_many_are_kept_and_those_in_use_among_them() -> None:
    def made(content: bytes) -> Path:
        return cached("store.txt", content, lambda path: path.write_bytes(content), 2)

    first, second = made(b"1"), made(b"2")
    os.utime(first, (1, 1))
    os.utime(second, (2, 2))
    assert made(b"1") == first, "asked for again"
    third = made(b"3")
    assert first.exists() and third.exists() and not second.parent.exists()
    assert cached("other.txt", b"1", lambda path: path.write_bytes(b"1")).exists()
