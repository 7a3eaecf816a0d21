"""What the engine owes whatever is in the plan: nothing hidden, nothing unsaid, one finding a cause."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bedfellow.linter.engine import MOST_NOTES, Options, Result, exit_status, lint
from bedfellow.linter.report import gnu, sarif, text
from bedfellow.linter.report import json as report_json
from bedfellow.rules.finding import Finding, Unjudged

SITE = "format: 1\nsite: {latitude: 51.6, faces: S, ph: 7.4}\nborder: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}\n"
LIME_HATER = "plants:\n- {key: R, name: Rhododendron 'Koichiro Wada', at: [2, 2]}\n"


def codes(result: Result) -> list[str]:
    return [finding.code for finding in result.findings]


def accepted(code: str, rest: str) -> str:
    return f"accepted:\n- {{code: {code}, {rest}, reason: a raised bed}}\n"


def raising(*words: object) -> None:
    raise RuntimeError("out of order")


def test_a_failure_outside_the_checks_does_not_hide_the_next_plan(store, tmp_path: Path, monkeypatch):  # type: ignore[no-untyped-def]
    from bedfellow.rules.border import border

    broken, sound = tmp_path / "broken.plan.yaml", tmp_path / "sound.plan.yaml"
    for file in (broken, sound):
        file.write_text(SITE + LIME_HATER, "utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(border.Border, "__init__", raising)
        first = lint(broken, store, Options())
    results = [first, lint(sound, store, Options())]
    assert first.crashed == (("", "RuntimeError: out of order"),)
    assert "SITE-01" in codes(results[1])
    assert exit_status(results) == 3
    for report in (text, gnu, report_json, sarif):
        told = report.report(results)
        assert "out of order" in told and "SITE-01" in told


@pytest.mark.parametrize(("lines", "says"), [("plants: []\n", "There is no plant"), ("plants:\n- {key: Q, name: Quux quux, at: [1, 1]}\n", "was recognised")])  # fmt: skip
def test_why_a_plan_without_plants_fails_is_told_in_every_format(lint_text, lines, says):  # type: ignore[no-untyped-def]
    for options in ({}, {"only": ("SPACE-01",)}, {"without": ("PLAN-05", "STOCK-03")}):
        result = lint_text(SITE + lines, **options)
        assert exit_status([result]) == 1
        for report in (text, gnu, report_json, sarif):
            assert says in report.report([result])


def test_an_acceptance_is_not_called_unused_where_its_check_said_nothing(lint_text, monkeypatch):  # type: ignore[no-untyped-def]
    plan = SITE + accepted("SITE-01", "keys: [R]") + LIME_HATER
    assert "PLAN-06" not in codes(lint_text(plan, without=("SITE-01",)))
    unread = plan.replace("at: [2, 2]", "at: [two, 2]")
    assert "PLAN-06" not in codes(lint_text(unread)), "its line could not be read"
    sweet = plan.replace("ph: 7.4", "ph: 5.5")
    assert "PLAN-06" in codes(lint_text(sweet)), "the check ran and found nothing"

    def unable(border, limits):  # type: ignore[no-untyped-def]
        yield Unjudged("R", ("lime",), ("plants", 0))

    monkeypatch.setattr("bedfellow.rules.site.soil.wrong_reaction", unable)
    assert "PLAN-06" not in codes(lint_text(plan)), "a trait is not known"
    monkeypatch.setattr("bedfellow.rules.site.soil.wrong_reaction", raising)
    assert "PLAN-06" not in codes(lint_text(plan)), "its check failed"


@pytest.mark.parametrize("reason", ["", ", reason: ''", ", reason: ' '"])
def test_an_acceptance_without_a_reason_has_no_effect_and_is_told(lint_text, reason):  # type: ignore[no-untyped-def]
    result = lint_text(SITE + f"accepted:\n- {{code: SITE-01, keys: [R]{reason}}}\n" + LIME_HATER)
    assert not result.accepted and "SITE-01" in codes(result) and "PLAN-02" not in codes(result)
    (told,) = [f for f in result.findings if f.code == "PLAN-06"]
    assert told.level == "warning" and "gives no reason" in told.message


def test_what_was_assumed_can_be_accepted_and_geometry_cannot(lint_text):  # type: ignore[no-untyped-def]
    plan = SITE.replace(", ph: 7.4", "") + accepted("PLAN-04", "whole: true") + LIME_HATER
    result = lint_text(plan)
    assert {entry.finding.code for entry in result.accepted} == {"PLAN-04"}
    assert "PLAN-04" not in codes(result) and "PLAN-06" not in codes(result)
    outside = SITE + accepted("PLAN-03", "whole: true") + LIME_HATER.replace("[2, 2]", "[9, 2]")
    assert {"PLAN-03", "PLAN-06"} <= set(codes(lint_text(outside)))


def test_notes_are_few_and_assumptions_among_them(lint_text, monkeypatch):  # type: ignore[no-untyped-def]
    def wordy(border, limits):  # type: ignore[no-untyped-def]
        for number in range(40):
            evidence = {"plant": f"Note {number}", "soil": ""}
            yield Finding("note", ("R",), ("format",), evidence, apart=(str(number),), case="lime")
        yield Unjudged("R", ("lime",), ("plants", 0))

    monkeypatch.setattr("bedfellow.rules.site.soil.wrong_reaction", wordy)
    result = lint_text(SITE + LIME_HATER, only=("SITE-01", "PLAN-04", "PLAN-05"))
    notes = [finding.code for finding in result.findings if finding.level == "note"]
    assert len(notes) == MOST_NOTES
    assert notes.count("PLAN-05") == 1 and "PLAN-04" in notes
    assert result.notes_left_out == 42 - MOST_NOTES


def test_one_finding_for_a_cause(lint_text, monkeypatch):  # type: ignore[no-untyped-def]
    """SPACE-02 gives way to SPACE-01 on the same plants, and only there."""

    def found(code: str, *pairs: tuple[str, str]):  # type: ignore[no-untyped-def]
        return lambda *_: (Finding("warning", pair, ("plants", 0), code=code, message=code) for pair in pairs)

    monkeypatch.setattr("bedfellow.rules.declaration.Declaration.judged", lambda check, border, limits: found(check.code, ("A", "B"), *([("B", "C")] if check.code == "SPACE-02" else []))())  # fmt: skip
    result = lint_text(SITE + LIME_HATER, only=("SPACE-01", "SPACE-02"))
    assert [(f.code, f.keys) for f in result.findings] == [("SPACE-01", ("A", "B")), ("SPACE-02", ("B", "C"))]


def test_a_check_of_the_whole_plan_without_a_bed_is_told_as_not_judged(lint_text):  # type: ignore[no-untyped-def]
    result = lint_text(SITE.replace("border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}\n", "") + LIME_HATER)
    told = {entry.code for entry in result.unjudged if entry.key == ""}
    assert "COVER-01" in told or "PLAN-02" in codes(result)


def test_repeated_key_names_both_places(lint_text):  # type: ignore[no-untyped-def]
    result = lint_text("format: 1\ntitle: One\ntitle: Two\n" + SITE.split("\n", 1)[1] + LIME_HATER)
    finding = next(f for f in result.findings if f.code == "PLAN-01")
    lines = {result.span(finding).start_line, *(place.start_line for place, _ in result.related(finding))}
    assert lines == {2, 3}
    related = json.loads(sarif.report([result]))["runs"][0]["results"][0]["relatedLocations"]
    assert {entry["physicalLocation"]["region"]["startLine"] for entry in related} < {2, 3}
    assert exit_status([result]) == 2


def test_levels_that_fail(lint_text):  # type: ignore[no-untyped-def]
    result = lint_text(SITE.replace("7.4", "6") + LIME_HATER)
    levels = {finding.level for finding in result.findings}
    assert levels == {"warning", "note"}
    assert [exit_status([result], level) for level in ("error", "warning", "note")] == [0, 1, 1]
