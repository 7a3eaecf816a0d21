"""Findings as a SARIF 2.1.0 log (OASIS)."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Result
from bedfellow.linter.former import Told
from bedfellow.linter.report.plain import as_json
from bedfellow.rules.declaration import Declaration, declarations
from bedfellow.rules.finding import Finding
from bedfellow.schema.place import Span

if TYPE_CHECKING:
    from bedfellow.linter.offer import Offer

VERSION = "2.1.0"
SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def report(results: Sequence[Result]) -> str:
    by_code = {code: check for result in results for code, check in result.checks.items()} or dict(declarations())
    known = list(by_code.values())
    index = {declaration.code: number for number, declaration in enumerate(known)}
    tool: dict[str, Any] = {"driver": {"name": "bedfellow", "rules": [_rule(declaration) for declaration in known]}}
    if data := {result.data.store.version: result.data.told for result in results if result.data}:
        tool["extensions"] = [
            {"name": "plant data", "version": version, "shortDescription": {"text": told}}
            for version, told in data.items()
        ]
    run: dict[str, Any] = {
        "tool": tool,
        "columnKind": "unicodeCodePoints",
        "invocations": [
            {
                "executionSuccessful": not any(result.crashed for result in results),
                "toolExecutionNotifications": [
                    _failure(result, code, error, index) for result in results for code, error in result.crashed
                ],
            }
        ],
        "results": [entry for result in results for entry in _results(result, index)],
    }
    if results:
        run["properties"] = {"judgedOn": results[0].today}
    return as_json({"$schema": SCHEMA, "version": VERSION, "runs": [run]})


def _failure(result: Result, code: str, error: str, index: dict[str, int]) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "level": "error",
        "message": {"text": f"{code or 'The plan'} could not be judged: {error}"},
        "locations": [{"physicalLocation": {"artifactLocation": {"uri": _uri(result.document.name)}}}],
    }
    if code:
        entry["associatedRule"] = {"id": code, "index": index[code]}
    return entry


def _rule(declaration: Declaration) -> dict[str, Any]:
    help_text = " ".join(filter(None, (declaration.found, declaration.basis, declaration.mend, declaration.caution)))
    return {
        "id": declaration.code,
        "name": "".join(word.capitalize() for word in declaration.name.replace(",", "").split()),
        "shortDescription": {"text": declaration.summary},
        "fullDescription": {"text": declaration.found},
        "help": {"text": help_text},
        "defaultConfiguration": {"level": declaration.level},
    }


def _results(result: Result, index: dict[str, int]) -> list[dict[str, Any]]:
    entries = [_result(result, finding, index) for finding in result.findings]
    for accepted in result.accepted:
        entry = _result(result, accepted.finding, index)
        entry["suppressions"] = [
            {"kind": "inSource", "status": "accepted", "justification": accepted.acceptance.reason}
        ]
        entries.append(entry)
    if result.former is not None:
        entries += [_gone(result, told, index) for told in result.former.gone]
    return entries


def _gone(result: Result, told: Told, index: dict[str, int]) -> dict[str, Any]:
    """What a former result told and this one does not; its check may be gone too."""
    entry: dict[str, Any] = {
        "ruleId": told.code,
        "level": told.level,
        "message": {"text": told.message},
        "locations": [{"physicalLocation": {"artifactLocation": {"uri": _uri(result.document.name)}}}],
        "partialFingerprints": {"bedfellow/v1": told.fingerprint},
        "baselineState": "absent",
    }
    return {**entry, "ruleIndex": index[told.code]} if told.code in index else entry


def _result(result: Result, finding: Finding, index: dict[str, int]) -> dict[str, Any]:
    uri = _uri(result.document.name)
    text = f"{finding.message} {finding.mend}".strip()
    entry: dict[str, Any] = {
        "ruleId": finding.code,
        "ruleIndex": index[finding.code],
        "level": finding.level,
        "message": {"text": text},
        "locations": [_location(uri, result.span(finding))],
        "partialFingerprints": {"bedfellow/v1": fingerprint(finding)},
        "properties": {
            "keys": list(finding.keys),
            "confidence": finding.confidence,
            "evidence": dict(finding.evidence),
        },
    }
    if offer := result.repairs.get(id(finding)):
        entry["fixes"] = [_fix(uri, offer)]
    if result.former is not None:
        entry["baselineState"] = "new" if result.new(finding) else "unchanged"
    related = result.related(finding)
    if related:
        entry["relatedLocations"] = [{**_location(uri, place), "message": {"text": words}} for place, words in related]
    return entry


def _fix(uri: str, offer: Offer) -> dict[str, Any]:
    changes = [{"deletedRegion": _region(span), "insertedContent": {"text": text}} for span, text in offer.changes]
    return {
        "description": {"text": f"{offer.words}."},
        "artifactChanges": [{"artifactLocation": {"uri": uri}, "replacements": changes}],
    }


def _location(uri: str, span: Span) -> dict[str, Any]:
    return {"physicalLocation": {"artifactLocation": {"uri": uri}, "region": _region(span)}}


def _region(span: Span) -> dict[str, int]:
    names = ("startLine", "startColumn", "endLine", "endColumn")
    return dict(zip(names, span, strict=True))


def _uri(name: str) -> str:
    """A relative reference from the working folder, as RFC 3986 writes it."""
    path = Path(name)
    if path.is_absolute():
        path = Path(os.path.relpath(path))
    return quote(os.fsencode(path.as_posix()))
