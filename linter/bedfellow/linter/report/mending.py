"""What was mended in a plan, a numbered line each, and what is left; in a dry run with the text's differences."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import unified_diff
from itertools import count
from textwrap import fill
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import CAUTION, WIDTH
from bedfellow.linter.report.plain import plain
from bedfellow.rules.declaration import declarations
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.linter.repair.edit import Edit
    from bedfellow.linter.repair.mending import Mended
    from bedfellow.linter.repair.together import Done
    from bedfellow.schema.reader import Document


def report(before: Document, mended: Mended, dry_run: bool) -> str:
    """In words; the lines that change as a unified difference where nothing is written."""
    return "\n".join(_lines(before, mended, dry_run)) + "\n"


def line(number: int, done: Done) -> str:
    """One repair: what is done, what goes with it, and what it costs or changes."""
    repair = done.repair
    change = "" if repair.keeps_design else " (changes the design)"
    codes = [f"{f.code} of {listed(f.keys)}" if f.keys else f.code for f in done.findings]
    costs = f"; {'; '.join(repair.costs)}" if repair.costs else ""
    text = f"{repair.words}{change}."
    return f"{_filled(text, f'{number:3}  ', '     ')}\n{_filled(f'clears {listed(codes)}{costs}', '     ', '     ')}"


def _lines(before: Document, mended: Mended, dry_run: bool) -> Iterator[str]:
    would = "Would be done" if dry_run else "Done"
    if mended.done:
        yield f"{would} in {plain(before.name)}"
    for number, done in zip(mended.numbers or count(1), mended.done, strict=False):
        yield line(number, done)
    if mended.came:
        yield "\nWith it come these notes"
        for finding in mended.came:
            yield _filled(f"{finding.code}  {finding.message}", "  ", "    ")
    if dry_run and mended.done:
        yield ""
        old, new = before.text.splitlines(), mended.document.text.splitlines()
        yield from (plain(text) for text in unified_diff(old, new, "before", "after", lineterm="", n=0))
    if mended.left:
        yield ("" if not mended.done else "\n") + "Left, for you to decide"
        for finding, against in mended.left:
            yield _filled(f"{finding.code}  {finding.message} {finding.mend}", "  ", "    ")
            for reason in against:
                yield _filled(f"against it: {reason}", "      ", "        ")
    elif not mended.done:
        yield f"{plain(before.name)}: nothing to mend at this level"
    codes = {f.code for done in mended.done for f in done.findings} | {left.finding.code for left in mended.left}
    cautions = sorted(
        {text for code in codes if (known := declarations().get(code)) and (text := known.caution.strip())}
    )
    if any(_plants(edit) for done in mended.done for edit in done.repair.edits):
        cautions.append(CAUTION)
    for text in cautions:
        yield "\n" + _filled(f"Caution: {text}", "", "")


def _plants(edit: Edit) -> bool:
    """The edit names another plant, or adds one."""
    return edit.path[-1] == "name" or (isinstance(edit.value, dict) and "name" in edit.value)


def _filled(text: str, first: str, rest: str) -> str:
    return fill(plain(text), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
