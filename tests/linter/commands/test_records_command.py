"""``bedfellow records``: exit statuses, forms, folders of one's own, and what a plain lint imports of it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app
from bedfellow.rules.declaration import declarations

TABLE = 'scientific_name,"Height, Mature (feet)"\nCornus mas L.,2\n'  # an invented figure, which no cornel agrees with


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words))
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / "records"
    folder.mkdir()
    (folder / "Testa.yaml").write_text(
        "format: 1\ntaxa:\n- {name: Testa alba, rank: species, traits: {life_form: shrub, height: 2}}\n", "utf-8"
    )
    return folder


def test_check_of_the_shipped_records() -> None:
    status, output = run("records", "check")
    assert status == 0 and "0 to put right" in output and "To put right" not in output


def test_check_of_own_records_tells_of_them_alone(own: Path) -> None:
    assert run("records", "check", str(own))[1].endswith("0 to put right, 0 to look at\n")
    file = own / "Testa.yaml"
    file.write_text(file.read_text("utf-8").replace("height: 2", "height: 2, crown_base: 3"), "utf-8")
    status, output = run("records", "check", str(own))
    assert status == 2 and "Testa alba: crown base 3 m is over height 2 m" in output and f"{file}:3:10" in output
    status, output = run("records", "check", str(own), "--format", "json")
    (remark,) = json.loads(output)["remarks"]
    assert status == 2 and (remark["level"], remark["subject"], remark["taxon"]) == ("fault", "size", "Testa alba")
    file.write_text("format: 1\ntaxa: [", "utf-8")
    status, output = run("records", "check", str(own))
    assert status == 2 and "not YAML" in output


def test_check_against_a_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    table = tmp_path / "table.csv"
    table.write_text(TABLE, "utf-8")
    status, output = run("records", "check", "--reference", str(table))
    assert status == 0 and "taxa in common: 1" in output and "the table has 0.61 m" in output
    rates = json.loads(run("records", "check", "--reference", str(table), "--format", "json")[1])["comparisons"][0]
    assert rates["rates"] == {"height": {"agreed": 0, "compared": 1}}
    monkeypatch.setattr("bedfellow.linter.commands.records.records_of", lambda folders: pytest.fail("read in vain"))
    for wrong, says in ((b"a;b\n", "none of the columns"), (b"scientific_name\n\xff\n", "not UTF-8"), (b'a,"b\nc', "")):
        table.write_bytes(wrong)
        status, output = run("records", "check", "--reference", str(table))
        assert status == 2 and says in output and "Traceback" not in output
    assert run("records", "check", "--reference", str(tmp_path / "none.csv"))[0] == 2
    monkeypatch.undo()
    assert run("records", "check", str(tmp_path / "none"))[0] == 2


def test_coverage() -> None:
    status, output = run("records", "coverage", "--format", "json")
    told = json.loads(output)
    assert status == 0 and told["traits"]["height"]["known"] <= told["traits"]["height"]["applies"]
    for code, traits in told["thin"].items():
        for trait in traits:
            counts = told["traits"].get(trait)
            assert trait in declarations()[code].traits
            assert counts is None or counts["known"] < told["enough"] * counts["applies"]
    assert all(code in declarations() for row in told["traits"].values() for code in row["checks"])
    status, output = run("records", "coverage")
    assert status == 0 and all(len(line) <= 100 for line in output.splitlines())


def test_a_group_is_imported_only_when_asked_for() -> None:
    code = (
        "import sys\nfrom bedfellow.linter.cli import app\nfrom typer.main import get_command\n"
        "command = get_command(app)\ncommand.get_command(None, 'lint')\n"
        "print([name for name in sys.modules if name.startswith('bedfellow.linter.commands.')])\n"
        "command.get_command(None, 'records')\nprint('bedfellow.linter.commands.records' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[:2] == ["[]", "True"]
