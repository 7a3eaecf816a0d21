"""Findings as JSON, in the form of ``result.schema.json``."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Result
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import Finding


def report(results: Sequence[Result]) -> str:
    return (
        json.dumps(
            {"format": 1, "plans": [_plan(result) for result in results]}, ensure_ascii=False, indent=2, allow_nan=False
        )
        + "\n"
    )


def _plan(result: Result) -> dict[str, Any]:
    return {
        "file": result.document.name,
        "title": result.plan.title if result.plan else None,
        "judged_on": result.today,
        "findings": [_finding(result, finding) for finding in result.findings],
        "accepted": [
            {**_finding(result, entry.finding), "reason": entry.acceptance.reason, "until": entry.acceptance.until}
            for entry in result.accepted
        ],
        "crashed": [{"code": code, "error": error} for code, error in result.crashed],
        "notes_left_out": result.notes_left_out,
    }


def _finding(result: Result, finding: Finding) -> dict[str, Any]:
    span = result.span(finding)
    return {
        "code": finding.code,
        "name": declarations()[finding.code].name,
        "level": finding.level,
        "confidence": finding.confidence,
        "keys": list(finding.keys),
        "message": finding.message,
        "place": span._asdict(),
        "path": list(finding.at),
        "related": [{"place": result.document.span(path)._asdict(), "text": text} for path, text in finding.related],
        "evidence": dict(finding.evidence),
        "mend": finding.mend,
        "caution": declarations()[finding.code].caution,
        "fingerprint": fingerprint(finding),
    }
