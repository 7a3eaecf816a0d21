"""What was mended in a plan, a line each, and what is left; in a dry run with the text's differences."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import unified_diff
from textwrap import fill
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import WIDTH
from bedfellow.linter.report.plain import plain
from bedfellow.rules.declaration import declarations

if TYPE_CHECKING:
    from bedfellow.linter.repair.mending import Mended
    from bedfellow.schema.reader import Document


def report(before: Document, mended: Mended, dry_run: bool) -> str:
    """In words; the lines that change as a unified difference where nothing is written."""
    return "\n".join(_lines(before, mended, dry_run)) + "\n"


def _lines(before: Document, mended: Mended, dry_run: bool) -> Iterator[str]:
    would = "Would be done" if dry_run else "Done"
    if mended.done:
        yield f"{would} in {plain(before.name)}"
    for finding, repair in mended.done:
        change = "" if repair.keeps_design else " (changes the design)"
        yield _filled(f"{finding.code}  {repair.words}{change}.", "  ", "    ")
    if dry_run and mended.done:
        yield ""
        old, new = before.text.splitlines(), mended.document.text.splitlines()
        yield from (plain(line) for line in unified_diff(old, new, "before", "after", lineterm="", n=0))
    if mended.left:
        yield ("" if not mended.done else "\n") + "Left, for you to decide"
        for finding in mended.left:
            yield _filled(f"{finding.code}  {finding.message} {finding.mend}", "  ", "    ")
    elif not mended.done:
        yield f"{plain(before.name)}: nothing to mend at this level"
    codes = {finding.code for finding, _ in mended.done} | {finding.code for finding in mended.left}
    cautions = sorted(
        {text for code in codes if (known := declarations().get(code)) and (text := known.caution.strip())}
    )
    for text in cautions:
        yield "\n" + _filled(f"Caution: {text}", "", "")


def _filled(text: str, first: str, rest: str) -> str:
    return fill(plain(text), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
