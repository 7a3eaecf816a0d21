"""What is said of a plan: text for people, GNU lines, JSON, SARIF and drawings."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result


class ReportForm(StrEnum):
    """The forms in which findings are reported, each in the module of its name."""

    text = "text"
    json = "json"
    sarif = "sarif"
    gnu = "gnu"


def report(results: Sequence[Result], form: ReportForm, colour: bool) -> str:
    """Findings in a form; only its own module is imported. colour: of text alone."""
    if form is ReportForm.text:
        from bedfellow.linter.report import text

        return text.report(results, colour)
    from importlib import import_module

    said: str = import_module(f"{__name__}.{form.value}").report(results)
    return said
