"""Findings as JSON, in the form of ``result.schema.json``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Result
from bedfellow.linter.report.plain import as_json
from bedfellow.rules.finding import Finding
from bedfellow.traits_db.library import Data

if TYPE_CHECKING:
    from bedfellow.linter.offer import Offer


def report(results: Sequence[Result]) -> str:
    return as_json({"format": 1, "plans": [_plan(result) for result in results]})


def _plan(result: Result) -> dict[str, Any]:
    return {
        "file": result.document.name,
        "title": result.plan.title if result.plan else None,
        "judged_on": result.today,
        "data": _data(result.data) if result.data else None,
        "readings": [
            {
                "path": list(path),
                "text": text,
                "metres": round(metres, 6),
                "place": result.document.span(path)._asdict(),
            }
            for path, text, metres in (result.plan.readings if result.plan else ())
        ],
        "findings": [_finding(result, finding) for finding in result.findings],
        "accepted": [
            {**_finding(result, entry.finding), "reason": entry.acceptance.reason, "until": entry.acceptance.until}
            for entry in result.accepted
        ],
        "unjudged": [
            {"code": entry.code, "key": entry.key, "wanting": list(entry.wanting)} for entry in result.unjudged
        ],
        "crashed": [{"code": code, "error": error} for code, error in result.crashed],
        "notes_left_out": result.notes_left_out,
        **({"gone": [entry._asdict() for entry in result.former.gone]} if result.former else {}),
    }


def _data(data: Data) -> dict[str, Any]:
    underneath = {"snapshot": data.name or None, "version": data.version}
    return {"version": data.store.version, "underneath": underneath, "records": list(data.folders)}


def _finding(result: Result, finding: Finding) -> dict[str, Any]:
    span = result.span(finding)
    return {
        "code": finding.code,
        "name": result.checks[finding.code].name,
        "level": finding.level,
        "confidence": finding.confidence,
        "keys": list(finding.keys),
        "message": finding.message,
        "place": span._asdict(),
        "path": list(finding.at),
        "related": [{"place": place._asdict(), "text": text} for place, text in result.related(finding)],
        "evidence": dict(finding.evidence),
        "mend": finding.mend,
        "caution": result.checks[finding.code].caution,
        "fingerprint": fingerprint(finding),
        **({"new": result.new(finding)} if result.former else {}),
        **({"repair": _repair(offer)} if (offer := result.repairs.get(id(finding))) else {}),
    }


def _repair(offer: Offer) -> dict[str, Any]:
    return {
        "words": offer.words,
        "keeps_design": offer.keeps_design,
        "edits": [{"place": span._asdict(), "text": text} for span, text in offer.changes],
    }
