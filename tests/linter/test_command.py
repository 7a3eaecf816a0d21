"""The command line: files kept whole, dates, pages, and what odd names and narrow terminals do to a report."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app
from bedfellow.linter.report.plain import as_json, plain
from bedfellow.rules.declaration import declarations
from bedfellow.traits_db.library import Library
from bedfellow.traits_db.snapshot import Store

PLAN = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 7.4}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
brief: {pets: [cat]}
plants:
- {key: R, name: Rhododendron 'Koichiro Wada', at: [2, 2]}
- {key: L, name: Lilium regale, at: [5, 2]}
"""


@pytest.fixture
def run(store, monkeypatch, tmp_path: Path):  # type: ignore[no-untyped-def]
    """The command in a folder that holds one plan, with the session's store; (exit status, output)."""
    monkeypatch.setattr("bedfellow.linter.cli.library_of", lambda given: Library(given, store))
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    Path("a.plan.yaml").write_text(PLAN, "utf-8")

    def call(*words: str) -> tuple[int, str]:
        result = CliRunner().invoke(app, list(words))
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return result.exit_code, result.output

    return call


def whole(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """A process of its own."""
    path = os.pathsep.join(p for p in sys.path if p)
    code = "from bedfellow.linter.entry import main; main()"
    return subprocess.run([sys.executable, "-c", code, *words], env={**os.environ, "PYTHONPATH": path, **environment}, capture_output=True)  # fmt: skip


def test_a_report_never_takes_the_place_of_a_plan(run):  # type: ignore[no-untyped-def]
    for command, why in (("lint", "is a plan"), ("draw", "write to another file"), ("page", "write to another file")):
        status, output = run(command, "a.plan.yaml", "--output", "./a.plan.yaml")
        assert status == 2 and why in output
        assert Path("a.plan.yaml").read_text("utf-8") == PLAN


def test_output_is_complete_or_absent(run):  # type: ignore[no-untyped-def]
    Path("folder").mkdir()
    before = sorted(Path().iterdir())
    for target in ("folder", "none/report.txt"):
        assert run("lint", "a.plan.yaml", "--output", target)[0] == 2
        assert sorted(Path().iterdir()) == before
    status, output = run("lint", "a.plan.yaml", "--format", "json", "--output", "report.json")
    assert (status, output) == (1, "")
    assert json.loads(Path("report.json").read_text("utf-8"))["plans"][0]["file"] == "a.plan.yaml"
    assert sorted(Path().iterdir()) == sorted([*before, Path("report.json")])


def test_the_day_is_printed(run, monkeypatch):  # type: ignore[no-untyped-def]
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert "judged on 1970-01-02" in run("lint", "a.plan.yaml")[1]
    assert "judged on 2026-10-22" in run("lint", "a.plan.yaml", "--today", "2026-10-22")[1]
    sarif = json.loads(run("lint", "a.plan.yaml", "--format", "sarif")[1])
    assert sarif["runs"][0]["properties"]["judgedOn"] == "1970-01-02"
    for wrong in ("soon", "9" * 20, "\u00b2"):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", wrong)
        status, output = run("lint", "a.plan.yaml")
        assert status == 2 and "SOURCE_DATE_EPOCH" in output


def test_a_plan_that_may_not_be_read_hides_no_other(run, monkeypatch):  # type: ignore[no-untyped-def]
    Path("b.plan.yaml").write_text(PLAN, "utf-8")
    b, access, opened = Path("b.plan.yaml"), os.access, Path.open

    def refused(path: Path, *words: object, **more: object) -> object:
        if Path(path).name == b.name:
            raise PermissionError(13, "Permission denied")
        return opened(path, *words, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(os, "access", lambda path, mode, **how: Path(path).name != b.name and access(path, mode, **how))
    monkeypatch.setattr(Path, "open", refused)
    status, output = run("lint", "a.plan.yaml", "b.plan.yaml")
    assert status == 2 and "SITE-01" in output and "The file may not be read" in output


def test_codes_chosen(run):  # type: ignore[no-untyped-def]
    def found(*words: str) -> set[str]:
        plans = json.loads(run("lint", "a.plan.yaml", "--format", "json", *words)[1])["plans"]
        return {finding["code"] for finding in plans[0]["findings"]}

    assert found("--only", "site-01,SAFE-01") == {"SITE-01", "SAFE-01"}
    everything = found()
    assert found("--without", "SITE-01") == everything - {"SITE-01"}


def test_text_groups_by_code_and_says_where(run):  # type: ignore[no-untyped-def]
    _, output = run("lint", "a.plan.yaml", "--today", "2026-10-22")
    lines = output.splitlines()
    headings = [line.split()[0] for line in lines if line[:1].isupper() and line.split()[0] in declarations()]
    assert len(headings) == len(set(headings)), "each code is headed once a level"
    told = lines.index("  Rhododendron 'Koichiro Wada' (R) hates lime; the soil here has pH 7.4.")
    assert lines[told + 1].strip() == PLAN.splitlines()[5]
    assert lines[told + 2].strip() == f"a.plan.yaml:6:{PLAN.splitlines()[5].index('Rhododendron') + 1}"
    assert output.count("Caution: No list of poisonous plants is complete") == 1


@pytest.mark.parametrize("form", ["text", "gnu", "json", "sarif"])
def test_every_format_gives_the_caution(run, form):  # type: ignore[no-untyped-def]
    _, output = run("lint", "a.plan.yaml", "--only", "SAFE-01", "--format", form)
    assert "ask a poison centre, doctor or vet" in " ".join(output.split())


def test_demo_makes_its_folder_and_writes_over_nothing(run):  # type: ignore[no-untyped-def]
    assert run("demo", "new/garden")[0] == 0
    names = sorted(path.name for path in Path("new/garden").iterdir())
    assert len(names) == 2 and all(name.endswith(".plan.yaml") for name in names)
    Path("new/garden", names[0]).unlink()
    assert run("demo", "new/garden")[0] == 2
    assert [path.name for path in Path("new/garden").iterdir()] == names[1:], "all or nothing"


def test_help_tells_all_of_what_each_command_does(run):  # type: ignore[no-untyped-def]
    for group in ((), ("border",), ("store",), ("plants",)):
        status, output = run(*group, "--help")
        commands = " ".join(output.partition("Commands:")[2].split())
        assert status == 0 and commands and "..." not in commands
    assert "free to dig; with --format json by layer too" in " ".join(run("border", "--help")[1].split())


def test_about_tells_the_whole_file(run):  # type: ignore[no-untyped-def]
    for code, check in declarations().items():
        status, output = run("about", code.lower())
        said = " ".join(output.split())
        assert status == 0
        for heading in ("The fault", "How it is found", "Where the limit comes from", "How to mend it"):
            assert f"\n{heading}\n" in output
        for part in (check.summary, check.mend, check.caution, *check.right_when.values()):
            assert " ".join(part.split()) in said, code
        assert all(
            f"{name}: {setting['default']} {setting['unit']}" in said for name, setting in check.settings.items()
        )


def test_a_plant_tells_sources(run, store):  # type: ignore[no-untyped-def]
    status, output = run("plants", "show", "Lilium regale")
    assert status == 0
    rows = [line for line in output.splitlines() if line.startswith("  ")]
    assert rows and all(any(word in row for word in ("high", "medium", "low")) for row in rows)
    assert output.splitlines()[-1] == f"Plant data: as shipped, version {store.version[:16]}"
    status, output = run("plants", "show", "Lilium regal")
    assert status == 2 and "Lilium regale" in output


def test_hidden_characters() -> None:
    assert plain("a\x1b[31m\n\u202e\u0085") == "a\\u001b[31m\\u000a\\u202e\\u0085"
    value = {"k\x7f": ["\x9b \u202e \U000e0001 \\ \n", "caf\u00e9", "\udce9"]}
    told = as_json(value)
    assert json.loads(told) == value
    assert not set(told) & {"\x7f", "\x9b", "\u202e", "\U000e0001", "\udce9"} and "caf\u00e9" in told


@pytest.mark.skipif(sys.platform != "linux", reason="file names are bytes only there")
def test_a_file_name_that_is_no_text(store: Store, filled: Path, tmp_path: Path) -> None:
    file = tmp_path / os.fsdecode(b"caf\xe9.plan.yaml")
    file.write_text(PLAN, "utf-8")
    for form in ("text", "gnu", "json", "sarif"):
        done = whole("lint", str(file), "--format", form, XDG_CACHE_HOME=str(filled))
        assert (done.returncode, done.stderr) == (1, b"")
        done.stdout.decode("utf-8")
    log = json.loads(done.stdout)
    assert log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"].endswith("caf%E9.plan.yaml")  # fmt: skip


def test_a_pipe_gets_utf_8_whatever_the_terminal(store: Store, filled: Path, tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_text(PLAN, "utf-8")
    done = whole("lint", str(file), PYTHONIOENCODING="latin-1", XDG_CACHE_HOME=str(filled))
    assert done.returncode == 1 and "→" in done.stdout.decode("utf-8")


def test_a_store_that_cannot_be_opened_is_told(monkeypatch):  # type: ignore[no-untyped-def]
    def refuse(*folders: object) -> None:
        raise sqlite3.DatabaseError("file is not a database")

    monkeypatch.setattr("bedfellow.traits_db.snapshot.open_store", refuse)
    result = CliRunner().invoke(app, ["plants", "show", "Cornus mas"])
    assert isinstance(result.exception, SystemExit)
    assert result.exit_code == 2 and "store of plants cannot be opened" in result.output


def test_records_at_fault_are_told(tmp_path: Path) -> None:
    records = tmp_path / "records"
    records.mkdir()
    (records / "Cornus.yaml").write_text("genus: [", "utf-8")
    (tmp_path / "a.plan.yaml").write_text(PLAN, "utf-8")
    for folder, says in ((records, b"Cornus.yaml"), (tmp_path / "none", b"not a folder")):
        done = whole("lint", str(tmp_path / "a.plan.yaml"), "--records", str(folder), XDG_CACHE_HOME=str(tmp_path))
        assert done.returncode == 2 and says in done.stderr and b"Traceback" not in done.stderr
        assert done.stdout == b""


def test_two_that_start_together_on_an_empty_cache(cache: Path) -> None:
    """Each compiles store, validator and checks for itself; neither is disturbed, and one copy of each is left."""
    (cache / "a.plan.yaml").write_text(PLAN, "utf-8")
    command = [sys.executable, "-m", "bedfellow.linter.entry", "lint", "a.plan.yaml", "--format", "json"]
    both = [subprocess.Popen(command, cwd=cache, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    told = [process.communicate()[0] for process in both]
    assert [process.returncode for process in both] == [1, 1]
    assert told[0] == told[1] and "SITE-01" in told[0]
    kept = sorted(path.name for path in (cache / "bedfellow").rglob("*") if path.suffix in (".json", ".py", ".sqlite"))
    assert kept == ["checks.json", "plan_validator.py", "store.sqlite"]
