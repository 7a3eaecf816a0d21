"""A delivery against its plan: each SWAP check finds and stays silent, and every fault of a list is told at its line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app

pytestmark = pytest.mark.usefixtures("store_in_cache")

PLAN = """\
format: 1
planted: 2026-10
site: {latitude: 51.6, faces: S, ph: 7.6, texture: loam, moisture: moist well-drained, minimum_temperature: -9}
border: {outline: [[0, 0], [14, 0], [14, 4], [0, 4]]}
brief: {winter_matters: no, children: [12]}
plants:
- {key: OsB, name: Osmanthus × burkwoodii, at: [2, 2.4], supplied: 10 L}
- {key: CoM, name: Cornus mas, at: [6, 2.4], clear_stem: 0.85, supplied: 150-175 cm}
- {key: SaC, name: Salvia nemorosa 'Caradonna', outline: [[3.2, 0.4], [5, 0.4], [5, 1.2], [3.2, 1.2]], quantity: 16}
- {key: LaH, name: Lavandula angustifolia 'Hidcote', outline: [[6, 0.3], [9, 0.3], [9, 1], [6, 1]], quantity: 14, supplied: 3 L}
- {key: ViT, name: Viburnum tinus, at: [10, 2.4]}
- {key: GeM, name: Geranium macrorrhizum, at: [[12, 0.6], [12.5, 0.6], [13, 0.6]]}
- {key: GeN, name: Geranium macrorrhizum, at: [[12, 1.2]]}
"""
HEAD = "key,ordered,delivered,quantity,size\n"


def check(folder: Path, rows: str, *words: str, more: str = "") -> tuple[int, str]:
    (folder / "a.plan.yaml").write_text(PLAN + more, "utf-8")
    (folder / "came.csv").write_text(rows if rows.startswith(("key", "bay")) else HEAD + rows, "utf-8")
    paths = [str(folder / "a.plan.yaml"), str(folder / "came.csv")]
    result = CliRunner().invoke(app, ["swap", "check", *paths, *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def findings(folder: Path, rows: str, more: str = "") -> dict[tuple[str, str, str], dict[str, object]]:
    """(code, level, code that it brings or the case) to the finding."""
    _, output = check(folder, rows, "--format", "json", more=more)
    (plan,) = json.loads(output)["plans"]
    return {(f["code"], f["level"], f["evidence"].get("code", ",".join(f["keys"]))): f for f in plan["findings"]}


def test_what_was_swapped_and_what_it_breaks(tmp_path: Path) -> None:
    assert findings(tmp_path, "OsB,Osmanthus × burkwoodii,,1,10 L\n,Cornus mas,,,\n") == {}
    rows = "OsB,,Rhododendron 'Koichiro Wada',,10 L\n"
    found = findings(tmp_path, rows)
    lime = found["SWAP-01", "error", "SITE-01"]
    assert lime["keys"] == ["OsB"] and lime["path"] == ["plants", 0, "name"] and "hates lime" in str(lime["message"])
    lost = str(found["SWAP-02", "warning", "OsB"]["message"])
    assert "97 cm high by season 10, not 1.85 m" in lost and "wide" in lost and "flower" not in lost
    assert ("SWAP-04", "warning", "OsB") not in found, "one line of seven is 14 %"
    both = findings(tmp_path, rows + "SaC,,Salvia nemorosa 'Ostfriesland',16,\n")
    assert both["SWAP-04", "warning", "OsB,SaC"]["evidence"]["share"] == pytest.approx(2 / 7, abs=1e-3)  # type: ignore[index]
    assert ("SWAP-02", "warning", "SaC") not in both
    # What the designer lets pass passes.
    free = findings(tmp_path, rows, "schedule: [{key: OsB, quantity: 1, substitution: any of the group}]\n")
    assert ("SWAP-02", "warning", "OsB") not in free and ("SWAP-01", "error", "SITE-01") in free
    held = "accepted: [{code: SWAP-02, keys: [OsB], reason: the client likes it}]\n"
    assert ("SWAP-02", "warning", "OsB") not in findings(tmp_path, rows, held)
    (unread,) = (f for key, f in findings(tmp_path, rows, "mulch: {depth: deep}\n").items() if key[0] == "PLAN-02")
    assert unread["path"] == ["mulch", "depth"], "what could not be read of the plan is told here too"
    status, output = check(tmp_path, rows)
    assert status == 1 and "SWAP-01  substitute breaks a pass" in output and "Caution: No list" in output


def test_smaller_stock(tmp_path: Path) -> None:
    found = findings(tmp_path, "CoM,,,1,2 L\nOsB,,,1,7.5 L\nGeM,,,2,\nLaH,,,14,2 L\n")
    later = found["SWAP-03", "note", "CoM"]["evidence"]
    assert later["late"] > 1 and later["ordered"] == "1 of 150-175 cm" and later["delivered"] == "1 of 2 L"  # type: ignore[index]
    assert str(found["SWAP-03", "note", "GeM"]["message"]).endswith("2 of the usual size, not 3 of the usual size.")
    assert not {key for key in found if key[2] in ("OsB", "LaH") and key[0] == "SWAP-03"}, (
        "a litre or two is soon made good"
    )
    few = findings(tmp_path, "SaC,,,8,\n")["SWAP-03", "note", "SaC"]
    # Sixteen on 1.44 m² stand 32 cm apart and grow to 40 cm; eight stand 46 cm apart and never meet.
    assert "does not close within 20 seasons" in str(few["message"]) and "more, or ask" in str(few["mend"])


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("OsC,,,1,\n", ":2: the plan has no line 'OsC'; nearest: OsB"), ("OsB,Cornus mas,,1,\n", ":2: OsB is Osmanthus"),
        ("OsB,,,,\nOsB,,,,\n", ":3: OsB stands in line 2 already"), (",Geranium macrorrhizum,,1,\n", ":2: Geranium macrorrhizum stands in GeM, GeN"),
        ("OsB,,Choisya ternatta,,\n", "nearest: Choisya ternata"), ("OsB,,,many,\n", ":2: quantity: 'many' is no number"),
        ("OsB,,,1,large\n", ":2: size: 'large' says no size"), (",Cornus mass,,,\n", "nearest: Cornus mas"), ("OsB,,,1\n", ":2: 4 cells under 5"),
        (",,Cornus mas,1,\n", ":2: the row says neither"), ("key;delivered\nOsB;Cornus mas\n", "say --separator semicolon"),
        ("key,sent\nOsB,x\n", ":1: the column 'sent' is not known"), ("bay,delivered\n", "is not known"), ("", "has no rows"),
    ],
)  # fmt: skip
def test_a_list_at_fault(tmp_path: Path, rows: str, told: str) -> None:
    status, output = check(tmp_path, rows)
    assert status == 2 and told in output, output
