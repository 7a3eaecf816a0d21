"""A plan of sixty lines with twenty faults, mended: ``python tests/benchmarks/mend_time.py`` prints its time over the goal.

Also how that compares with judging the plan once, so that it can be read on any machine.
"""

from __future__ import annotations

import re
import time
from pathlib import Path

from bedfellow.linter.engine import Options, lint_document
from bedfellow.linter.repair.mending import mend
from bedfellow.schema.reader import read_text
from bedfellow.traits_db.snapshot import open_store

GOAL = 10.0  # s
PLAN = Path(__file__).parents[1] / "precision" / "kranichhof.plan.yaml"
APART = 12  # m between the two beds
MISSPELT = ("Hylotelephium", "Paeonia", "Bergenia", "Stachys", "Sesleria")
OUTLINE = re.compile(r"(key: (?:GeM|GeN|EcR|NeF|BeP)2?, .*?), quantity: (\d+)")


def twice(text: str) -> str:
    """The plan with a second bed beside the first, planted alike."""
    head, rest = text.split("plants:\n", 1)
    lines, tail = rest.split("brief:\n", 1)
    keys = re.findall(r"key: (\w+),", lines)

    def moved(match: re.Match[str]) -> str:
        return f"[{float(match[1]) + APART:g}, {match[2]}]"

    second = re.sub(r"\[(\d+(?:\.\d+)?), (\d+(?:\.\d+)?)\]", moved, lines)
    second = re.sub(rf"\b({'|'.join(keys)})\b", r"\g<1>2", second)
    bed = re.search(r"border: (\{.*\})\n", head)
    assert bed
    outline = f"[[{APART}, 0], [{APART + 10}, 0], [{APART + 10}, 3.4], [{APART}, 3.4]]"
    other = re.sub(r"outline: \[\[.*?\]\]", f"outline: {outline}", bed[1])
    head = head.replace(bed[0], f"borders:\n- {bed[1]}\n- {other.replace('Barn border', 'Yard border')}\n")
    return f"{head}plants:\n{lines}{second}brief:\n{tail}"


def broken(text: str) -> str:
    """With ten names misspelt and ten drifts of four times the number that their distance allows."""
    for name in MISSPELT:
        for _ in range(2):
            text = text.replace(f"name: {name} ", f"name: {name[:-2]}z{name[-1]} ", 1)
    return OUTLINE.sub(lambda match: f"{match[1]}, centres: 35 cm, quantity: {4 * int(match[2])}", text)


def main() -> None:
    store, options = open_store(), Options()
    document = read_text(broken(twice(PLAN.read_text("utf-8"))), "twice.plan.yaml")
    lint_document(document, store, options)
    start = time.process_time()
    result = lint_document(document, store, options)
    once = time.process_time() - start
    errors = sum(f.level == "error" for f in result.findings)
    start = time.process_time()
    found = mend(document, store, options)
    took = time.process_time() - start
    assert result.border is not None
    print(
        f"{errors} errors in {len(result.plan.lines) if result.plan else 0} lines, {len(found.left)} left: "
        f"{took / GOAL:.2f} of the goal of {GOAL:.0f} s, {took / once:.0f} times one judgement"
    )


if __name__ == "__main__":
    main()
