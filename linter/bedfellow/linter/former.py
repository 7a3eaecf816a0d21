"""A former result, a SARIF log that was kept, as what a new one is compared with: new, unchanged, gone, by fingerprint.

Moving lines, other numbers and other words change nothing. What had been accepted then counts as not told.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import unquote

from bedfellow.linter.acceptances import fingerprint
from bedfellow.rules.finding import LEVELS

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result

MOST_BYTES = 50_000_000
KIND = "bedfellow/v1"


class Told(NamedTuple):
    """A finding of the former result: its code, level, message and fingerprint."""

    code: str
    level: str
    message: str
    fingerprint: str


class Former(NamedTuple):
    """What a former result told of one plan: fingerprints that stand again, and what is gone. plan: its file."""

    prints: frozenset[str]
    gone: tuple[Told, ...]


class BadFormer(ValueError):
    """Why a file cannot be compared with, in words."""


def compared(file: Path, results: Sequence[Result]) -> list[Result]:
    """The results, each with what the former result told of its plan. Raises BadFormer."""
    told = read_former(file)
    names = {_name(result.document.name) for result in results}
    if told and not names & set(told):
        raise BadFormer(f"{file} is a result of other plans: {', '.join(sorted(told)[:3])}")
    return [replace(result, former=_former(result, told.get(_name(result.document.name), ()))) for result in results]


def _former(result: Result, told: Sequence[Told]) -> Former:
    now = {fingerprint(finding) for finding in result.findings}
    still = now | {fingerprint(entry.finding) for entry in result.accepted}
    prints = frozenset(entry.fingerprint for entry in told)
    return Former(prints & now, tuple(entry for entry in told if entry.fingerprint not in still))


def read_former(file: Path) -> dict[str, list[Told]]:
    """What a SARIF log of ours told, by plan. Raises BadFormer."""
    try:
        if file.stat().st_size > MOST_BYTES:
            raise BadFormer(f"{file} is larger than {MOST_BYTES // 1_000_000} MB; a result of plans is never so large")
        log = json.loads(file.read_text("utf-8-sig"))
    except OSError as error:
        raise BadFormer(f"{file} cannot be read: {error.strerror}") from None
    except (UnicodeError, RecursionError):
        raise BadFormer(f"{file} is not JSON in UTF-8") from None
    except json.JSONDecodeError as error:
        raise BadFormer(
            f"{file}:{error.lineno}:{error.colno}: this is not JSON, and a former result is a SARIF log: {error.msg}"
        ) from None
    try:
        return _by_plan(file, log)
    except (KeyError, IndexError, TypeError, AttributeError):
        raise BadFormer(
            f"{file} is no SARIF log that bedfellow wrote: a result lacks what SARIF 2.1.0 gives it"
        ) from None


def _by_plan(file: Path, log: Mapping[str, Any]) -> dict[str, list[Told]]:
    if not isinstance(log, dict) or log.get("version") != "2.1.0" or not isinstance(log.get("runs"), list):
        raise BadFormer(f"{file} is no SARIF 2.1.0 log; 'bedfellow lint --format sarif --output {file}' writes one")
    runs = [run for run in log["runs"] if run["tool"]["driver"]["name"] == "bedfellow"]
    if not runs:
        raise BadFormer(f"{file} was written by another program than bedfellow")
    told: dict[str, list[Told]] = {}
    for run in runs:
        for result in run.get("results", ()):
            plan = unquote(result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"])
            kept = told.setdefault(_name(plan), [])
            print_ = result.get("partialFingerprints", {}).get(KIND)
            if print_ is None:
                raise BadFormer(
                    f"{file} was written by another version of bedfellow, whose fingerprints are of another kind"
                )
            if result.get("suppressions") or result.get("baselineState") == "absent":
                continue
            level = result["level"]
            if level not in LEVELS:
                raise BadFormer(f"{file}: a result has the level {level!r}")
            kept.append(Told(str(result["ruleId"]), level, str(result["message"]["text"]), str(print_)))
    return told


def _name(plan: str) -> str:
    """The plan's file from the working folder, as results name it."""
    import os

    path = Path(plan)
    return Path(os.path.relpath(path) if path.is_absolute() else path).as_posix()
