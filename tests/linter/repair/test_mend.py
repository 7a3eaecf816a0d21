"""Plans broken by known faults and mended again: the fault goes, no other comes, and the text elsewhere stays."""

from __future__ import annotations

import datetime
import os
import stat
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.cli import DEMO, app
from bedfellow.linter.engine import Options, lint_document
from bedfellow.linter.repair import together
from bedfellow.linter.repair.edit import CannotEdit, Edit, changed
from bedfellow.linter.repair.mending import Mended, mend
from bedfellow.schema.reader import Document, read_text
from bedfellow.traits_db.snapshot import Store

GOOD = (DEMO / "orchard-gate-mended.plan.yaml").read_text("utf-8")
OPTIONS = Options(today=datetime.date(2026, 11, 25))
# Known faults: what is written, in place of what, and the code that tells it.
FAULTS = {
    "moved": ("at: [4.3, 2.6]", "at: [2.5, 2.5]", "SPACE-01"),
    "outside": ("at: [4.3, 2.6]", "at: [4.3, 4.2]", "PLAN-03"),
    "in centimetres": ("at: [4.3, 2.6]", "at: [430, 260]", "PLAN-03"),
    "moved far": ("at: [8.6, 2.5]", "at: [5.0, 2.9]", "SPACE-01"),
    "quantity": ("centres: 40 cm, quantity: 8", "centres: 40 cm, quantity: 30", "STOCK-02"),
    "misspelt": ("name: Cornus mas", "name: Cornus mass", "STOCK-03"),
    "misspelt cultivar": ("Alchemilla mollis", "Alchemila mollis", "STOCK-03"),
    "schedule": ("plants:\n", "schedule: [{key: HyH, quantity: 9}]\nplants:\n", "STOCK-01"),
}


def broken(*names: str) -> str:
    text = GOOD
    for name in names:
        old, new, _ = FAULTS[name]
        assert old in text
        text = text.replace(old, new, 1)
    return text


def mended(text: str, store: Store, level: str = "warning", design: bool = False) -> Mended:
    return mend(read_text(text, "a.plan.yaml"), store, OPTIONS, level, design)  # type: ignore[arg-type]


def prints(text: str, store: Store) -> dict[str, str]:
    found = lint_document(read_text(text, "a.plan.yaml"), store, OPTIONS).findings
    return {fingerprint(f): f.code for f in found if f.code not in ("PLAN-04", "PLAN-05")}


@pytest.mark.parametrize("name", [name for name in FAULTS if name != "schedule"])
def test_a_fault_is_mended(name: str, store: Store) -> None:
    text = broken(name)
    code = FAULTS[name][2]
    assert code in prints(text, store).values()
    found = mended(text, store, design=True)
    assert code in [done.finding.code for done in found.done]
    after = prints(found.document.text, store)
    assert code not in after.values() and set(after) <= set(prints(text, store)) | set(prints(GOOD, store))
    # Of the lines each repair changed one, or added one.
    old, new = text.splitlines(), found.document.text.splitlines()
    changed = sum(line not in new for line in old)
    assert changed + len(new) - len(old) == len(found.done)


def test_several_at_once_and_twice_is_once(store: Store) -> None:
    text = broken("moved", "quantity", "misspelt cultivar", "schedule")
    found = mended(text, store)
    assert {done.finding.code for done in found.done} >= {"SPACE-01", "STOCK-02", "STOCK-03", "STOCK-01"}
    again = mended(found.document.text, store)
    assert again.done == () and again.document.text == found.document.text


@settings(max_examples=4)
@given(st.sets(st.sampled_from(["moved", "quantity", "misspelt", "misspelt cultivar"]), min_size=1))
def test_a_mended_plan_has_nothing_new_and_mending_twice_is_once(store: Store, names: set[str]) -> None:
    text = broken(*sorted(names))
    found = mended(text, store)
    assert set(prints(found.document.text, store)) <= set(prints(text, store)) | set(prints(GOOD, store))
    again = mended(found.document.text, store)
    assert not again.done and again.document.text == found.document.text
    # Each line of the file is as it was, or is one that a repair names.
    touched = {key for done in found.done for key in done.repair.keys}
    for old, new in zip(text.splitlines(), found.document.text.splitlines(), strict=True):
        assert old == new or any(f"key: {key}," in old for key in touched)


def test_what_stands_against_a_repair_is_told(store: Store) -> None:
    locked = (
        broken("moved")
        .replace("at: [2.5, 2.5]}", "at: [2.5, 2.5], locked: yes}")
        .replace("0.85}", "0.85, locked: yes}")
    )
    (left,) = (left for left in mended(locked, store).left if left.finding.code == "SPACE-01")
    assert left.against == ("Osmanthus × burkwoodii (OsB) and Cornus mas (CoM) are locked",) or all(
        title in left.against[0] for title in ("(OsB)", "(CoM)", "locked")
    )
    line = "plants:\n- {key: RhP, name: Rhododendron 'Koichiro Wada', at: [1, 1]}\n"
    text = f"format: 1\nsite: {{latitude: 52.1, faces: S, ph: 7.6}}\nborder: {{outline: [[0, 0], [2, 0], [2, 2], [0, 2]]}}\n{line}"
    (left,) = (left for left in mended(text, store, "error").left if left.finding.code == "SITE-01")
    assert left.against == ("what could mend it changes the design: '--design' tries that",)


def test_only_some_are_made(plan: Path) -> None:
    plan.write_text(broken("quantity", "misspelt cultivar", "moved"), "utf-8")
    before = plan.read_text("utf-8")
    status, output = run("a.plan.yaml", "--level", "warning", "--dry-run")
    assert status == 0 and all(f"  {n}  " in output for n in (1, 2, 3)) and plan.read_text("utf-8") == before
    status, output = run("a.plan.yaml", "--level", "warning", "--take", "2")
    assert status == 1 and "left as you chose" in output and "\n  2  " in output and "\n  1  " not in output
    lines = list(zip(before.splitlines(), plan.read_text("utf-8").splitlines(), strict=True))
    assert sum(a != b for a, b in lines) == 1
    assert run("a.plan.yaml", "--take", "9")[0] == 2
    result = CliRunner().invoke(
        app, ["mend", "a.plan.yaml", "--level", "warning", "--ask", "--today", "2026-11-25"], "n\ny\n"
    )
    assert result.exit_code == 1 and result.output.count("Make it?") == 2 and "left as you chose" in result.output


def test_a_locked_plant_is_left(store: Store) -> None:
    text = (
        broken("moved")
        .replace("at: [2.5, 2.5]}", "at: [2.5, 2.5], locked: yes}")
        .replace("clear_stem: 0.85}", "clear_stem: 0.85, locked: yes}")
    )
    found = mended(text, store, design=True)
    assert found.document.text == text and "SPACE-01" in {left.finding.code for left in found.left}


def test_far_moves_only_when_asked(store: Store) -> None:
    text = broken("moved far")
    near, far = mended(text, store), mended(text, store, design=True)
    assert all(done.repair.keeps_design for done in near.done)
    assert len(far.left) <= len(near.left)


def test_a_canopy_is_raised(store: Store) -> None:
    text = (
        "format: 1\nsite: {latitude: 52.1, faces: S, ph: 7, texture: loam, moisture: well-drained}\nborder: {outline: [[0, 0], [6, 0], [6, 4], [0, 4]]}\n"
        "plants:\n- {key: CoM, name: Cornus mas, at: [2, 2]}\n- {key: LaH, name: Lavandula angustifolia 'Hidcote', at: [2.2, 1.4]}\n"
    )
    assert "SPACE-02" in prints(text, store).values()
    found = mended(text, store)
    assert (
        "at: [2, 2], clear_stem: 0." in found.document.text
        and "SPACE-02" not in prints(found.document.text, store).values()
    )


@pytest.mark.parametrize(
    ("line", "code"),
    [("key: RhP, name: Rhododendron 'Koichiro Wada'", "SITE-01"), ("key: SpB, name: Spiraea betulifolia", "SEASON-01")],
)
def test_another_plant_or_one_more_only_when_the_design_may_change(store: Store, line: str, code: str) -> None:
    site = "site: {latitude: 52.1, faces: S, ph: 7.6, texture: loam, moisture: moist well-drained, minimum_temperature: -9}"
    bed = "border: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\nbrief: {must_have: [2], children: []}"
    text = f"format: 1\n{site}\n{bed}\nplants:\n- {{{line}, at: [1.5, 1.5]}}\n"
    assert code in prints(text, store).values() and not mended(text, store, "error").done
    found = mended(text, store, "error", design=True)
    assert [done.finding.code for done in found.done] == [code] and not found.left
    assert not found.done[0].repair.keeps_design and code not in prints(found.document.text, store).values()
    names = [plant["name"] for plant in found.document.data["plants"]]
    if code == "SEASON-01":
        february = store.find([names[1]])[names[1]].window("flower")  # type: ignore[union-attr]
        assert february is not None and february.start.typical % 365 <= 59


@pytest.fixture
def plan(tmp_path: Path, store: Store, filled: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(filled))
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "a.plan.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + broken("quantity").replace("\n", "\r\n").encode())
    return file


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["mend", *words, "--today", "2026-11-25"])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def test_the_command_keeps_the_file_as_it_is_written(plan: Path) -> None:
    before = plan.read_bytes()
    status, output = run("a.plan.yaml", "--dry-run")
    assert status == 0 and "Would be done" in output and "+- {key: SaC" in output and plan.read_bytes() == before
    plan.chmod(0o640)
    status, output = run("a.plan.yaml")
    assert status == 0 and "1  Set the quantity of Salvia nemorosa 'Caradonna' (SaC) to 8" in output
    after = plan.read_bytes()
    assert (
        after.startswith(b"\xef\xbb\xbf# ")
        and after.count(b"\r\n") == before.count(b"\r\n")
        and after.count(b"\n") == before.count(b"\n")
    )
    assert stat.S_IMODE(plan.stat().st_mode) == 0o640 and [f.name for f in plan.parent.iterdir()] == ["a.plan.yaml"]
    assert "nothing to mend" in run("a.plan.yaml")[1]


def test_another_plant_comes_with_its_caution(plan: Path) -> None:
    plan.write_text(GOOD.replace("Viburnum tinus", "Rhododendron 'Koichiro Wada'"), "utf-8")
    output = run("a.plan.yaml", "--design", "--dry-run")[1]
    assert "in place of Rhododendron" in output and "no entry does not mean safe" in output


def test_what_is_no_plan_or_may_not_be_written(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.access
    monkeypatch.setattr(os, "access", lambda path, mode, **how: mode != os.W_OK and real(path, mode, **how))
    before = plan.read_bytes()
    status, output = run("a.plan.yaml")
    assert status == 2 and "may not be written" in output and plan.read_bytes() == before
    assert "Done in" not in output, "it is said only when it is so"
    plan.write_text("plants: [", "utf-8")
    status, output = run("a.plan.yaml")
    assert status == 2 and "PLAN-01" in output and plan.read_text("utf-8") == "plants: ["
    status, output = run("none.plan.yaml")
    assert status == 2 and "there is no such file" in output and "for you to decide" not in output


def test_a_file_that_changed_meanwhile_is_left(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from bedfellow.linter.repair import mending

    real = mending.mend

    def slow(*words: object) -> Mended:
        found = real(*words)  # type: ignore[arg-type]
        plan.write_text("format: 1\n", "utf-8")
        return found

    monkeypatch.setattr(mending, "mend", slow)
    status, output = run("a.plan.yaml")
    assert status == 2 and "has changed since it was read" in output and plan.read_text("utf-8") == "format: 1\n"


def test_repairs_are_offered_in_every_format(plan: Path, tmp_path: Path) -> None:
    import json

    from jsonschema import Draft202012Validator

    from bedfellow.schema.validity import schema

    def lint(form: str) -> str:
        words = ["lint", "a.plan.yaml", "--repairs", "--only", "STOCK-02", "--format", form, "--today", "2026-11-25"]
        return CliRunner().invoke(app, words).output

    assert "→ Set the quantity of Salvia nemorosa 'Caradonna' (SaC) to 8: tried, and nothing else" in " ".join(
        lint("text").split()
    )
    told = json.loads(lint("json"))
    Draft202012Validator(schema("result")).validate(told)
    (finding,) = (f for f in told["plans"][0]["findings"] if f["code"] == "STOCK-02")
    (edit,) = finding["repair"]["edits"]
    (fix,) = (f for result in json.loads(lint("sarif"))["runs"][0]["results"] for f in result.get("fixes", ()))
    (replacement,) = fix["artifactChanges"][0]["replacements"]
    region = replacement["deletedRegion"]
    assert edit["text"] == replacement["insertedContent"]["text"]
    # What a reader of the log would do gives the text that mends it.
    lines = plan.read_bytes().decode("utf-8-sig").split("\r\n")
    line = lines[region["startLine"] - 1]
    lines[region["startLine"] - 1] = line[: region["startColumn"] - 1] + edit["text"] + line[region["endColumn"] - 1 :]
    assert region["startLine"] == region["endLine"] and "quantity: 8}" in lines[region["startLine"] - 1]


def test_repairs_that_cannot_be_written_together_are_made_one_after_another(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    def one_by_one(document: Document, edits: Sequence[Edit]) -> Document:
        if len({edit.path[:2] for edit in edits}) > 1:
            raise CannotEdit("two edits meet in the text")
        return changed(document, edits)

    monkeypatch.setattr(together, "changed", one_by_one)
    found = mended(broken("quantity", "misspelt cultivar"), store)
    assert {"STOCK-02", "STOCK-03"} <= {done.finding.code for done in found.done} and not found.left
