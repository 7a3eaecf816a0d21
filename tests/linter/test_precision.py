"""Six borders that an expert judged before any check ran on them: every fault found, and at most one false alarm a border.

``python tests/linter/test_precision.py`` prints precision and recall by level.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from bedfellow.linter.engine import Options, lint
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import Finding

FOLDER = Path(__file__).parents[1] / "precision"
PLANS = sorted(FOLDER.glob("*.plan.yaml"))
PAIRS = ("SPACE-01", "SPACE-02", "VIGOUR-02", "COLOUR-02")


def covers(entry: Mapping[str, Any], finding: Finding) -> bool:
    """Keys of a pair code name the pair; of other codes any one of them is enough."""
    if entry["code"] != finding.code:
        return False
    level, keys = entry.get("level"), entry.get("keys")
    if level and finding.level not in ([level] if isinstance(level, str) else level):
        return False
    if not keys:
        return keys is None or not finding.keys
    return set(keys) <= set(finding.keys) if finding.code in PAIRS else bool(set(keys) & set(finding.keys))


def expected_of(plan: Path) -> dict[str, Any]:
    """What the expert wrote of a plan, beside it."""
    return yaml.safe_load(plan.with_name(plan.name.replace(".plan.", ".expected.")).read_text("utf-8"))  # type: ignore[no-any-return]


@pytest.mark.parametrize("plan", PLANS, ids=[plan.name.partition(".")[0] for plan in PLANS])
def test_a_border(store, plan: Path) -> None:  # type: ignore[no-untyped-def]
    expected = expected_of(plan)
    result = lint(plan, store, Options())
    assert not result.crashed
    must = [entry for entry in expected.get("must_find") or () if entry["code"] in declarations()]
    missed = [entry for entry in must if not any(covers(entry, f) for f in result.findings)]
    assert not missed
    known = [*must, *(expected.get("may_find") or ())]
    told = [f for f in result.findings if f.level != "note" and not any(covers(e, f) for e in known)]
    assert not [f for f in told if f.level == "error"]
    assert len(told) <= 1, [f.message for f in told]
    assert sum(f.level == "note" for f in result.findings) <= 15


def main() -> None:
    """Precision: of what is told, how much the expert lists as a fault or as no mistake to tell. Recall: of the faults
    listed, how many are told, by the gravest level that the list allows."""
    from bedfellow.traits_db.snapshot import open_store

    store = open_store()
    told, right, listed, found = ({"error": 0, "warning": 0, "note": 0} for _ in range(4))
    for plan in PLANS:
        expected, findings = expected_of(plan), lint(plan, store, Options()).findings
        must, may = expected.get("must_find") or [], expected.get("may_find") or []
        for finding in findings:
            told[finding.level] += 1
            right[finding.level] += any(covers(entry, finding) for entry in (*must, *may))
        for entry in must:
            levels = entry.get("level") or "warning"
            level = levels if isinstance(levels, str) else levels[0]
            listed[level] += 1
            found[level] += any(covers(entry, finding) for finding in findings)
            if not any(covers(entry, finding) for finding in findings):
                print(f"missed in {plan.name}: {entry['code']} {entry.get('keys')}: {entry['because']}")
    for level in told:
        print(f"{level:8} precision {right[level]} of {told[level]}, recall {found[level]} of {listed[level]}")


if __name__ == "__main__":
    main()
