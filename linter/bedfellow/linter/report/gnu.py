"""One line a finding in the form of the GNU coding standards: ``file:line.column-line.column: level: message [code]``."""

from __future__ import annotations

from collections.abc import Sequence

from bedfellow.linter.engine import Result
from bedfellow.linter.report.plain import plain


def report(results: Sequence[Result]) -> str:
    lines = []
    for result in results:
        for finding in result.findings:
            first, column, last, end = result.span(finding)
            place = f"{first}.{column}-{last}.{max(end - 1, 1)}"
            lines.append(
                f"{plain(result.document.name)}:{place}: {finding.level}: {plain(finding.message)} [{finding.code}]\n"
            )
        lines += [
            f"{plain(result.document.name)}: error: the check {code} failed: {plain(error)}\n"
            for code, error in result.crashed
        ]
    return "".join(lines)
