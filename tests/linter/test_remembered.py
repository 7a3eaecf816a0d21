"""An answer given before is given again only where everything that it depends on is the same."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from bedfellow.linter import entry, remembered
from bedfellow.traits_db.library import Library
from bedfellow.traits_db.snapshot import Store

PLAN = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 7.4}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
plants:
- {key: R, name: Rhododendron 'Koichiro Wada', at: [2, 2]}
"""


@pytest.fixture
def installed(store: Store, cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan, and a package that looks installed: with its built files."""
    built = tmp_path / "store.sqlite"
    built.write_bytes(b"")
    monkeypatch.setattr(remembered, "BUILT", (built,))
    monkeypatch.setattr("bedfellow.linter.cli.library_of", lambda given: Library(given, store))
    plan = tmp_path / "garden.plan.yaml"
    plan.write_text(PLAN, "utf-8")
    return plan


def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *arguments: str) -> tuple[int, str]:
    monkeypatch.setattr(sys, "argv", ["bedfellow", *arguments])
    with pytest.raises(SystemExit) as end:
        entry.main()
    return int(end.value.code or 0), capsys.readouterr().out


def test_the_same_question_gets_the_same_answer_without_judging(capsys, monkeypatch, installed):  # type: ignore[no-untyped-def]
    first = run(capsys, monkeypatch, "lint", str(installed))
    assert first[0] == 1 and "SITE-01" in first[1]
    monkeypatch.setattr(entry, "_run", lambda: pytest.fail("it was judged again"))
    assert run(capsys, monkeypatch, "lint", str(installed)) == first


@pytest.mark.parametrize(
    "change", ["plan", "arguments", "package", "day", "folder", "colour", "record", "source", "new records", "snapshot", "no snapshot"]
)  # fmt: skip
def test_whatever_changes_is_judged_again(monkeypatch, installed, tmp_path, change):  # type: ignore[no-untyped-def]
    arguments = ["lint", str(installed)]
    records, pinned = tmp_path / "plant-records", tmp_path / "plants-0123456789abcdef.sqlite"
    if change != "new records":
        records.mkdir()
        (records / "Testa.yaml").write_text("format: 1\n", "utf-8")
        (tmp_path / "sources.yaml").write_text("format: 1\n", "utf-8")
    pinned.write_bytes(b"")
    remembered.keep(remembered.key(arguments), 1, "former")
    assert remembered.answer(remembered.key(arguments)) == (1, "former")
    if change == "plan":
        installed.write_text(PLAN.replace("7.4", "5.5"), "utf-8")
    elif change == "arguments":
        arguments += ["--format", "gnu"]
    elif change == "package":
        os.utime(remembered.BUILT[0], (1, 1))
    elif change == "day":
        monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    elif change == "folder":
        monkeypatch.chdir(tmp_path)
    elif change in ("record", "source"):
        (records / "Testa.yaml" if change == "record" else tmp_path / "sources.yaml").write_text("format: 2\n", "utf-8")
    elif change == "new records":
        (tmp_path / ".git").mkdir()
        records.mkdir()
    elif change == "snapshot":
        os.utime(pinned, (1, 1))
    elif change == "no snapshot":
        pinned.unlink()
    else:
        monkeypatch.setenv("NO_COLOR", "1")
    assert remembered.answer(remembered.key(arguments)) is None


@pytest.mark.parametrize("arguments", [["lint", "P", "--output", "x"], ["lint", "P", "--records=x"], ["about", "SITE-01"], ["lint", "absent.plan.yaml"]])  # fmt: skip
def test_what_is_never_kept(capsys, monkeypatch, installed, arguments):  # type: ignore[no-untyped-def]
    asked = [str(installed) if word == "P" else word for word in arguments]
    name = remembered.key(asked)
    if name is not None:  # a missing plan is told anew each time
        assert run(capsys, monkeypatch, *asked)[0] == 2
        assert remembered.answer(name) is None


def test_a_damaged_answer_is_none(installed):  # type: ignore[no-untyped-def]
    name = remembered.key(["lint", str(installed)])
    remembered.keep(name, 1, "text\n")
    assert remembered.answer(name) == (1, "text\n")
    (remembered._folder() / name).write_text("no number\n", "utf-8")
    assert remembered.answer(name) is None


def test_no_more_are_kept_than_a_few_hundred(installed, monkeypatch):  # type: ignore[no-untyped-def]
    monkeypatch.setattr(remembered, "MOST_KEPT", 3)
    for number in range(6):
        remembered.keep(f"{number:040x}", 0, "")
    assert len(list(remembered._folder().iterdir())) == 3


def test_a_checkout_is_never_answered_so(tmp_path):  # type: ignore[no-untyped-def]
    assert not all(built.exists() for built in remembered.BUILT), "the tests run from a checkout"
    assert remembered.key(["lint", str(tmp_path)]) is None
