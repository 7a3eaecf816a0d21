"""One line a finding in the form of the GNU coding standards: ``file:line.column-line.column: level: message [code]``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bedfellow.linter.engine import Result
from bedfellow.linter.report.plain import plain


def report(results: Sequence[Result]) -> str:
    """All plans; after them what the program itself has to say, as ``bedfellow: words``."""
    lines = [line for result in results for line in _lines(result)]
    lines += [f"bedfellow: caution: {plain(text)}" for text in sorted({t for r in results for t in r.cautions})]
    return "".join(f"{line}\n" for line in lines)


def _lines(result: Result) -> Iterator[str]:
    name = plain(result.document.name)
    for finding in result.findings:
        first, column, last, end = result.span(finding)
        place = f"{first}.{column}-{last}.{max(end - 1, 1)}"
        yield f"{name}:{place}: {finding.level}: {plain(finding.message)} [{finding.code}]"
    for code, error in result.crashed:
        yield f"{name}: error: {f'the check {code}' if code else 'bedfellow itself'} failed: {plain(error)}"
    if result.accepted:
        yield f"{name}: note: {len(result.accepted)} accepted, judged on {result.today}"
