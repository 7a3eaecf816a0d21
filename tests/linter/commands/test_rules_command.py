"""``bedfellow rules check``: a house rule on its own examples, and used by a lint."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app

RULE = """\
code: HILL-01
name: too tall
level: warning
each: plant
if: plant.height > limits.tallest
summary: A plant is taller than the client wants.
found: Higher than a limit in season 10.
basis: the client's word
settings: {tallest: {default: 2, unit: m, about: greatest height, basis: the client's word}}
says: "{plant} grows taller than is wanted."
mend: Choose a lower plant.
examples:
- shows: a tree
  limit: tallest
  plan: |
    plants:
    - {key: A, name: Taxus baccata, at: [5, 5]}
  finds: [{level: warning, keys: [A], at: "plants[0]"}]
- shows: a cranesbill
  limit: tallest
  plan: |
    plants:
    - {key: A, name: Geranium macrorrhizum, at: [5, 5]}
"""


@pytest.fixture(autouse=True)
def store_in_cache(store: object, filled: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(filled))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "tall.yaml").write_text(RULE, "utf-8")


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words))
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def test_examples_that_hold_and_do_not() -> None:
    assert run("rules", "check", "rules") == (0, "HILL-01  too tall: holds on its 2 examples\n")
    Path("rules/tall.yaml").write_text(RULE.replace("Taxus baccata", "Lavandula angustifolia"), "utf-8")
    status, output = run("rules", "check", "rules")
    assert status == 1 and "a tree: 1 to be found and 0 were" in output
    assert json.loads(run("rules", "check", "rules", "--format", "json")[1])["rules"][0]["faults"]
    Path("rules/tall.yaml").write_text(RULE.replace("each: plant", "each: bush"), "utf-8")
    status, output = run("rules", "check", "rules")
    assert status == 2 and "rules/tall.yaml:4:7" in output


def test_without_the_library_it_is_said_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "cel_expr_python", None)
    Path("rules/more.yaml").write_text(RULE.replace("HILL-01", "HILL-02"), "utf-8")
    status, output = run("rules", "check", "rules")
    assert (status, output.count("pip install 'bedfellow[house]'")) == (2, 1), output


def test_a_lint_uses_it_by_option_or_by_the_repository() -> None:
    Path("a.plan.yaml").write_text(
        "format: 1\nsite: {latitude: 52, ph: 7, faces: S}\nborder: {outline: [[0, 0], [9, 0], [9, 9], [0, 9]]}\n"
        "plants:\n- {key: TaB, name: Taxus baccata, at: [4, 4]}\n", "utf-8",
    )  # fmt: skip
    assert "HILL-01" not in run("lint", "a.plan.yaml")[1] and run("lint", "a.plan.yaml", "--only", "HILL-01")[0] == 2
    status, output = run("lint", "a.plan.yaml", "--rules", "rules", "--only", "HILL-01", "--fail-at", "warning")
    assert status == 1 and "Taxus baccata (TaB) grows taller than is wanted." in output
    Path("bedfellow.yaml").write_text("format: 1\nrules: [rules]\nchecks: {HILL-01: {tallest: 40}}\n", "utf-8")
    assert "grows taller" not in run("lint", "a.plan.yaml", "--only", "HILL-01")[1]
    status, output = run("lint", "a.plan.yaml", "--rules", "rules", "--rules", "./rules/tall.yaml", "--only", "HILL-01")
    assert status == 0 and "grows taller" not in output, "a folder that the settings name too is read once"
    Path("bedfellow.yaml").write_text("format: 1\nrules: [rules/tall.yaml]\n", "utf-8")
    log = json.loads(run("lint", "a.plan.yaml", "--format", "sarif")[1])
    assert "HILL-01" in {rule["id"] for rule in log["runs"][0]["tool"]["driver"]["rules"]}
    assert "HILL-01" in {result["ruleId"] for result in log["runs"][0]["results"]}
    assert "A plant is taller than the client wants" in run("about", "HILL-01")[1]
    Path("a.plan.yaml").write_text(
        Path("a.plan.yaml").read_text("utf-8") + "accepted:\n- {code: HILL-01, keys: [TaB], reason: it is wanted}\n",
        "utf-8",
    )
    assert "Accepted HILL-01 of TaB" in run("lint", "a.plan.yaml")[1]


def test_a_rule_that_cannot_be_worked_out_is_told_and_fails_the_run() -> None:
    Path("rules/tall.yaml").write_text(RULE.replace("plant.height > limits.tallest", "1 / 0 == 1"), "utf-8")
    Path("a.plan.yaml").write_text("format: 1\nplants:\n- {name: Taxus baccata, at: [4, 4]}\n", "utf-8")
    status, output = run("lint", "a.plan.yaml", "--rules", "rules")
    assert status == 3 and "The check HILL-01 failed" in output and "divides by zero" in output


def test_checks_in_python_from_an_installed_package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package, about = tmp_path / "site" / "hilloffice", tmp_path / "site" / "hilloffice-1.dist-info"
    package.mkdir(parents=True)
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: hilloffice\nVersion: 1\n", "utf-8")
    (about / "entry_points.txt").write_text("[bedfellow.rules]\nhill = hilloffice\n", "utf-8")
    (package / "__init__.py").write_text("", "utf-8")
    (package / "yews.py").write_text(
        "from bedfellow.rules.finding import Finding\n\n\ndef yews(border, limits):\n"
        "    for planting in border.plantings:\n        if planting.traits.name.startswith('Taxus'):\n"
        "            yield Finding('note', (planting.key,), planting.path, {'plant': planting.title, 'most': limits['most']})\n", "utf-8",
    )  # fmt: skip
    (package / "HILL-02.yaml").write_text(
        "code: HILL-02\nname: a yew\nlevel: note\njudge: hilloffice.yews:yews\nsummary: s\nfound: f\nbasis: b\nmend: m\n"
        "settings: {most: {default: 3, unit: yews, about: a, basis: b}}\nsays: '{plant}, of {most} at most.'\nexamples: []\n", "utf-8",
    )  # fmt: skip
    monkeypatch.syspath_prepend(str(tmp_path / "site"))
    Path("a.plan.yaml").write_text("format: 1\nplants:\n- {key: TaB, name: Taxus baccata, at: [4, 4]}\n", "utf-8")
    Path("bedfellow.yaml").write_text("format: 1\nrules: [hill]\nchecks: {HILL-02: {most: 2}}\n", "utf-8")
    assert "Taxus baccata (TaB), of 2 at most." in run("lint", "a.plan.yaml", "--only", "HILL-02")[1]
    assert "HILL-02" in run("about", "HILL-02")[1]
