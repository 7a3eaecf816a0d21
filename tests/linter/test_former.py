"""A former result as the measure of a new one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app

PLAN = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 7.4}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
plants:
- {key: R, name: Rhododendron 'Koichiro Wada', at: [2, 2]}
- {key: L, name: Lavandula angustifolia 'Hidcote', at: [5, 2]}
"""
MOVED = PLAN.replace("plants:", "# a line more\nplants:").replace("[2, 2]", "[2.2, 2]")


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["lint", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan and its former result, in the working folder."""
    monkeypatch.chdir(tmp_path)
    plan = Path("a.plan.yaml")
    plan.write_text(PLAN, "utf-8")
    assert run("a.plan.yaml", "--format", "sarif", "--output", "former.sarif")[0] == 1
    return plan


def states(*words: str) -> dict[tuple[str, str], str]:
    log = json.loads(run("a.plan.yaml", "--former", "former.sarif", "--format", "sarif", *words)[1])
    results = log["runs"][0]["results"]
    return {
        (entry["ruleId"], "".join(entry.get("properties", {}).get("keys", []))): entry["baselineState"]
        for entry in results
    }


def test_moving_lines_changes_nothing(plan: Path) -> None:
    plan.write_text(MOVED, "utf-8")
    assert set(states().values()) == {"unchanged"}
    status, output = run("a.plan.yaml", "--former", "former.sarif", "--fail-new")
    assert status == 0 and "none new" in output and "none gone" in output
    assert run("a.plan.yaml", "--former", "former.sarif")[0] == 1, "without --fail-new what stands still fails"


def test_new_and_gone(plan: Path) -> None:
    plan.write_text(MOVED.replace("key: R", "key: S"), "utf-8")
    found = states()
    assert found["SITE-01", "S"] == "new" and found["SITE-01", ""] == "absent"
    status, output = run("a.plan.yaml", "--former", "former.sarif", "--fail-new")
    assert status == 1 and "New: Rhododendron" in output and "Gone: SITE-01" in output
    told = json.loads(run("a.plan.yaml", "--former", "former.sarif", "--format", "json")[1])["plans"][0]
    assert [entry["code"] for entry in told["gone"]] and any(finding["new"] for finding in told["findings"])
    # What is absent is not carried on from one result to the next.
    assert run("a.plan.yaml", "--former", "former.sarif", "--format", "sarif", "--output", "next.sarif")[0] == 1
    assert "none gone" in run("a.plan.yaml", "--former", "next.sarif")[1]


def test_what_had_been_accepted_is_new_when_it_stands(plan: Path) -> None:
    accepted = "accepted:\n- {code: SITE-01, keys: [R], reason: a bed of its own}\n"
    plan.write_text(PLAN + accepted, "utf-8")
    run("a.plan.yaml", "--format", "sarif", "--output", "former.sarif")
    plan.write_text(PLAN, "utf-8")
    assert states()["SITE-01", "R"] == "new"
    # And what is accepted now is not gone.
    run("a.plan.yaml", "--format", "sarif", "--output", "former.sarif")
    plan.write_text(PLAN + accepted, "utf-8")
    assert "absent" not in states().values()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("format: 1\n", "this is not JSON"), ("[]", "is no SARIF 2.1.0 log"), ('{"version": "2.1.0", "runs": [{}]}', "is no SARIF log that bedfellow wrote"),
        ('{"version": "2.1.0", "runs": []}', "another program"), ('{"version": "1.0.0", "runs": []}', "is no SARIF 2.1.0 log"), ("[" * 5000, "not JSON"),
        ('{"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "other"}}}]}', "another program"),
    ],
)  # fmt: skip
def test_what_is_no_former_result(plan: Path, text: str, told: str) -> None:
    Path("former.sarif").write_text(text, "utf-8")
    status, output = run("a.plan.yaml", "--former", "former.sarif")
    assert status == 2 and told in output


def test_of_another_plan_missing_or_asked_for_wrongly(plan: Path) -> None:
    Path("b.plan.yaml").write_text(PLAN, "utf-8")
    assert "a result of other plans: a.plan.yaml" in run("b.plan.yaml", "--former", "former.sarif")[1]
    assert run("a.plan.yaml", "--former", "none.sarif")[0] == 2
    assert "needs the former result" in run("a.plan.yaml", "--fail-new")[1]
    log = json.loads(Path("former.sarif").read_text("utf-8"))
    log["runs"][0]["results"][0]["partialFingerprints"] = {"bedfellow/v0": "x"}
    Path("former.sarif").write_text(json.dumps(log), "utf-8")
    assert "another version" in run("a.plan.yaml", "--former", "former.sarif")[1]
