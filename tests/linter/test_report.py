"""Reports: SARIF by the OASIS schema, JSON by our own, acceptances, and what a plain run may import."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

import bedfellow.linter
import bedfellow.schema
from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Options, exit_status, lint
from bedfellow.linter.report import gnu, sarif, text
from bedfellow.linter.report import json as report_json
from bedfellow.linter.report.parts import in_order
from bedfellow.rules.declaration import declarations

DEMO = Path(bedfellow.linter.__file__).parent / "demo"
OASIS = Path(__file__).parents[3] / "shared" / "reference" / "sarif-2.1.0.schema.json"


@pytest.fixture(scope="module")
def results(store):  # type: ignore[no-untyped-def]
    return [lint(path, store, Options()) for path in sorted(DEMO.glob("*.plan.yaml"))]


def test_keys_are_sorted_as_people_sort_them() -> None:
    keys = ["P10", "b2", "P9", "A1", "٣", "P", ""]
    assert sorted(keys, key=in_order) == ["", "A1", "b2", "P", "P9", "P10", "٣"]


def test_the_demo_has_faults_and_its_mended_version_none(results):  # type: ignore[no-untyped-def]
    mended, flawed = results
    assert exit_status([flawed]) == 1
    assert {"SITE-01", "CLIMB-01", "STOCK-02", "STOCK-03", "SPACE-01", "BULB-01"} <= {f.code for f in flawed.findings}
    assert exit_status([mended]) == 0
    assert {f.level for f in mended.findings} <= {"note"}


def test_sarif(results):  # type: ignore[no-untyped-def]
    log = json.loads(sarif.report(results))
    run = log["runs"][0]
    assert run["columnKind"] == "unicodeCodePoints"
    assert [rule["id"] for rule in run["tool"]["driver"]["rules"]] == list(declarations())
    for entry in run["results"]:
        assert run["tool"]["driver"]["rules"][entry["ruleIndex"]]["id"] == entry["ruleId"]
        place = entry["locations"][0]["physicalLocation"]
        assert "://" not in place["artifactLocation"]["uri"] and not place["artifactLocation"]["uri"].startswith("/")
        assert min(place["region"].values()) >= 1
        assert len(entry["partialFingerprints"]["bedfellow/v1"]) == 32
    assert sarif.report(results) == sarif.report(results)
    assert json.loads(sarif.report([]))["runs"][0]["results"] == []


@pytest.mark.skipif(not OASIS.exists(), reason="the OASIS schema is not beside this checkout")
def test_sarif_by_the_oasis_schema(results):  # type: ignore[no-untyped-def]
    schema = json.loads(OASIS.read_text("utf-8"))
    for log in (sarif.report(results), sarif.report([])):
        assert not list(jsonschema.Draft7Validator(schema).iter_errors(json.loads(log)))


def test_json_by_its_published_schema(results):  # type: ignore[no-untyped-def]
    schema = json.loads((Path(bedfellow.schema.__file__).parent / "result.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(json.loads(report_json.report(results)))


def test_places_point_at_what_is_meant(results):  # type: ignore[no-untyped-def]
    flawed = results[1]
    finding = next(f for f in flawed.findings if f.code == "STOCK-03")
    span = flawed.span(finding)
    line = flawed.document.line(span.start_line)
    assert line[span.start_column - 1 : span.end_column - 1] == "Geranium macrorhizum"
    assert f":{span.start_line}.{span.start_column}-" in gnu.report([flawed])


def test_text(results):  # type: ignore[no-untyped-def]
    told = text.report(results)
    assert "Rhododendron 'Koichiro Wada' (RhW) hates lime" in told and "\x1b" not in told


ACCEPTED = """\
format: 1
site: {{latitude: 51.6, faces: S, ph: 7.4, moisture: moist well-drained}}
border: {{outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}}
accepted:
- {{code: {code}, keys: [R], reason: it stands in a raised bed{until}}}
plants:
- {{key: R, name: Rhododendron 'Koichiro Wada', at: [2, 2]}}
"""


def test_acceptances(lint_text):  # type: ignore[no-untyped-def]
    held = lint_text(ACCEPTED.format(code="SITE-01", until=""))
    assert [a.finding.code for a in held.accepted] == ["SITE-01"]
    assert not [f for f in held.findings if f.code in ("SITE-01", "PLAN-06")]
    suppressed = json.loads(sarif.report([held]))["runs"][0]["results"][-1]
    assert suppressed["suppressions"][0]["justification"] == "it stands in a raised bed"
    expired = lint_text(ACCEPTED.format(code="SITE-01", until=", until: 2026-10"))
    assert {f.code for f in expired.findings} >= {"SITE-01", "PLAN-06"}
    assert lint_text(ACCEPTED.format(code="SITE-01", until=", until: 2026-11")).accepted
    for code in ("SITE-02", "NONE-01"):
        assert "PLAN-06" in {f.code for f in lint_text(ACCEPTED.format(code=code, until="")).findings}


def test_feet_and_inches_are_told_as_they_were_read(lint_text):  # type: ignore[no-untyped-def]
    plan = ACCEPTED.format(code="SITE-01", until="").replace("at: [2, 2]", "at: [2 ft, 6 ft 6 in], clear_stem: 40 cm")
    plan += (
        "structures:\n- {key: F, kind: fence, from: [0, 3.6], to: [7, 3.6], height: 6 ft 6 in}\nmulch: {depth: 3 in}\n"
    )
    result = lint_text(plan)
    said = "Read 6 ft 6 in as 1.98 m (lines 7 and 9), 2 ft as 0.61 m (line 7) and 3 in as 7.6 cm (line 10)."
    assert said in " ".join(text.report([result]).split())
    readings = json.loads(report_json.report([result]))["plans"][0]["readings"]
    assert [(entry["text"], entry["metres"], entry["place"]["start_line"]) for entry in readings] == [
        ("6 ft 6 in", 1.9812, 9), ("2 ft", 0.6096, 7), ("6 ft 6 in", 1.9812, 7), ("40 cm", 0.4, 7), ("3 in", 0.0762, 10),
    ]  # fmt: skip
    schema = json.loads((Path(bedfellow.schema.__file__).parent / "result.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(json.loads(report_json.report([result])))
    assert "Read " not in text.report([lint_text(ACCEPTED.format(code="SITE-01", until=""))])


def test_fingerprint_ignores_numbers_and_lines(lint_text):  # type: ignore[no-untyped-def]
    text = ACCEPTED.format(code="SITE-02", until="")
    first, second = lint_text(text), lint_text("# a comment\n" + text.replace("ph: 7.4", "ph: 7.6"))
    of = [{fingerprint(f) for f in r.findings if f.code == "SITE-01"} for r in (first, second)]
    assert of[0] == of[1] and len(of[0]) == 1


def test_a_crashing_check_fails_the_run(lint_text, monkeypatch):  # type: ignore[no-untyped-def]
    def broken(border: object, limits: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr("bedfellow.rules.site.soil.wrong_reaction", broken)
    result = lint_text(ACCEPTED.format(code="SITE-02", until=""))
    assert result.crashed == (("SITE-01", "RuntimeError: out of order"),)
    assert exit_status([result]) == 3
    assert "SITE-01 failed" in text.report([result])


FORBIDDEN = (
    "sqlmodel",
    "sqlalchemy",
    "pydantic",
    "jsonschema",
    "fastjsonschema",
    "shapely",
    "ruamel.yaml",
    "rich",
    "hatchling",
)


def test_a_plain_run_imports_little(store, filled: Path):  # type: ignore[no-untyped-def]
    """Once the cache is warm, a valid plan is linted without the ORM, a validator library or a second parser."""
    code = (
        "import sys; sys.argv = ['bedfellow', 'lint', sys.argv[1]]\n"
        "from bedfellow.linter.entry import main\n"
        "try: main()\nexcept SystemExit: pass\n"
        "print('\\n'.join(sys.modules))"
    )
    environment = {
        **os.environ,
        "XDG_CACHE_HOME": str(filled),
        "PYTHONPATH": os.pathsep.join(p for p in sys.path if p),
    }
    for _ in range(2):
        done = subprocess.run([sys.executable, "-c", code, str(DEMO / "orchard-gate-mended.plan.yaml")], env=environment, capture_output=True, text=True, check=True)  # fmt: skip
    loaded = set(done.stdout.split())
    assert not [name for name in FORBIDDEN if name in loaded]
    assert "numpy" in loaded, "the demo asks for light"


@pytest.mark.parametrize("code", list(declarations()))
def test_every_check_says_what_it_must(code):  # type: ignore[no-untyped-def]
    check = declarations()[code]
    assert check.code == code and check.summary and check.found and check.basis and check.mend
    for name, setting in check.settings.items():
        assert set(setting) == {"default", "unit", "about", "basis"}, name
    if check.judge:
        assert callable(check.function())
