"""What is said of the plant data: PLAN-07, the version in every report, and records that lie with a plan."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import CliRunner

import bedfellow.schema
from bedfellow.linter.cli import app
from bedfellow.linter.engine import Options, Result, _pinned, exit_status, lint
from bedfellow.linter.report import json as report_json
from bedfellow.linter.report import sarif, text
from bedfellow.traits_db.library import Data, Library

PLAN = """\
format: 1
{pin}
site: {{latitude: 51.6, faces: S, ph: 6.8}}
border: {{outline: [[0, 0], [9, 0], [9, 9], [0, 9]]}}
plants:
- {{key: A, name: Testa alba, at: [3, 3]}}
"""


@pytest.fixture
def judged(shelf: Any, tmp_path: Path) -> Any:
    """Lint a plan with a pin; what is given on the command line."""

    def judge(pin: str, *given: Path) -> Result:
        file = tmp_path / "plans" / "a.plan.yaml"
        file.parent.mkdir(exist_ok=True)
        file.write_text(PLAN.format(pin=f"traits_version: {pin}" if pin else ""), "utf-8")
        return lint(file, Library(given, shelf.shipped), Options(today=date(2026, 11, 25)))

    return judge


def of(result: Result, code: str) -> list[Any]:
    return [finding for finding in result.findings if finding.code == code]


def test_a_version_that_is_there(judged: Any, shelf: Any, tmp_path: Path) -> None:
    file = shelf.snapshot(tmp_path / "plans", 5)
    for pin in ("", f'"{shelf.shipped.version}"', f'"{shelf.pin(file)}"'):
        assert not of(judged(pin), "PLAN-07")


def test_a_version_that_is_not(judged: Any, shelf: Any, tmp_path: Path) -> None:
    result = judged('"0123456789abcdef"', tmp_path / "shipped")
    (found,) = of(result, "PLAN-07")
    used = shelf.shipped.version[:16]
    assert found.level == "warning" and result.span(found).start_line == 2 and exit_status([result]) == 0
    assert found.message == (
        "The plan asks for version 0123456789abcdef of the plant data, which is not the shipped one and of which no snapshot is "
        f"beside the plan or in {tmp_path / 'shipped'}. It was judged against other plant data: as shipped, version {used}."
    )
    assert "plants-0123456789abcdef….sqlite" in found.mend and f'traits_version: "{used}"' in found.mend
    (tmp_path / "plans" / "plants-0123456789abcdef.sqlite").write_bytes(b"damaged")
    assert "is no snapshot of a store of plants" in of(judged('"0123456789abcdef"'), "PLAN-07")[0].message


def test_more_than_one_version_is_an_error(judged: Any, shelf: Any) -> None:
    plan = judged('"01234567"').plan
    files = ("plants-0123456701.sqlite", "plants-0123456702.sqlite")
    (found,) = _pinned(plan, Data(shelf.shipped, shelf.shipped.version, fitting=files))
    assert found.level == "error" and " and ".join(files) in found.message


@pytest.mark.parametrize(
    ("pin", "found"), [("0.1.0", "'0.1.0'"), ("latest", "'latest'"), ("12345678", "quotes"), ("abc123", "'abc123'")]
)
def test_a_pin_that_is_no_version(judged: Any, pin: str, found: str) -> None:
    result = judged(pin)
    (fault,) = of(result, "PLAN-02")
    assert "version of the plant data" in fault.message and found in fault.message and not of(result, "PLAN-07")
    assert exit_status([result]) == 2 and result.span(fault).start_line == 2


def test_every_report_tells_the_version(judged: Any, shelf: Any, tmp_path: Path) -> None:
    own = shelf.records(
        tmp_path / "plans" / "plant-records", "- {name: Testa alba, rank: species, traits: {height: 7}}\n"
    )
    (other,) = of(judged('"0123456789abcdef"'), "PLAN-07")
    assert (
        f'traits_version: "{shelf.shipped.version[:16]}"' in other.mend
    )  # what lies under the records, which is what is kept
    result = judged(f'"{shelf.shipped.version}"')
    version = result.data.store.version
    assert not of(result, "PLAN-07") and version != shelf.shipped.version
    assert f"together version {version[:16]}." in " ".join(text.report([result]).split())
    plans = json.loads(report_json.report([result]))
    assert plans["plans"][0]["data"] == {
        "version": version, "underneath": {"snapshot": None, "version": shelf.shipped.version}, "records": [str(own)],
    }  # fmt: skip
    schema = json.loads((Path(bedfellow.schema.__file__).parent / "result.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(plans)
    (extension,) = json.loads(sarif.report([result, result]))["runs"][0]["tool"]["extensions"]
    assert (extension["name"], extension["version"]) == ("plant data", version)


def test_data_that_cannot_be_used_is_refused(shelf: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for module in ("cli", "opening"):
        monkeypatch.setattr(f"bedfellow.linter.{module}.library_of", lambda given: Library(given, shelf.shipped))
    (tmp_path / "a.plan.yaml").write_text(PLAN.format(pin=""), "utf-8")
    shelf.records(tmp_path / "plant-records", "- {name: Testa alba}\n")
    for words in (
        ["lint", "a.plan.yaml"],
        ["draw", "a.plan.yaml", "--output", "a.svg"],
        ["plants", "show", "Testa alba"],
    ):
        monkeypatch.chdir(tmp_path)
        result = CliRunner().invoke(app, words)
        assert result.exit_code == 2 and "Testa.yaml:3:3: a taxon has a name and a rank" in result.output
