"""How a command is told to report findings, when, and at which level to fail."""

from __future__ import annotations

import datetime
import os
import sys
from enum import StrEnum
from typing import Annotated

import typer

from bedfellow.linter.console import refuse
from bedfellow.linter.report import ReportForm


class FailAt(StrEnum):
    error = "error"
    warning = "warning"
    note = "note"


ReportFormOption = Annotated[ReportForm, typer.Option("--format", help="How to report.")]
FailAtOption = Annotated[
    FailAt | None, typer.Option(help="Least level that fails; error, if no settings say otherwise.")
]
TodayOption = Annotated[str | None, typer.Option(help="Date on which acceptances are judged, such as 2026-10-22.")]


def coloured() -> bool:
    """Standard output shows colours, and nobody minds."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def today_of(text: str | None) -> datetime.date:
    """The date that is said, that SOURCE_DATE_EPOCH says, or this day; a refusal for what is none."""
    if text is not None:
        try:
            return datetime.date.fromisoformat(text)
        except ValueError:
            refuse(f"'{text}' is no date; write it as 2026-10-22")
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if not epoch:
        return datetime.date.today()
    try:
        return datetime.datetime.fromtimestamp(int(epoch), datetime.UTC).date()
    except (ValueError, OverflowError, OSError):
        refuse(f"SOURCE_DATE_EPOCH is '{epoch}', which is no time in seconds")
