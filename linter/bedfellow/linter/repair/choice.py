"""The smallest set of repairs that clears most: an integer programme, solved by HiGHS.

least   sum of the costs of the repairs made, and a great cost for each finding that is left
so that each finding is cleared by a repair or left, and of repairs that cannot go together not all are made
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

from bedfellow.linter.repair.edit import END
from bedfellow.linter.repair.trying import Try
from bedfellow.rules.finding import Level

# The cost of a finding that is left: far above that of any repair, and of many that are less grave.
LEFT: dict[Level, float] = {"error": 100_000.0, "warning": 1_000.0, "note": 100.0}
# What a change of design, a metre and a less likely repair add to the cost of 1.
DESIGN, METRE, LATER = 0.5, 0.02, 0.001


def smallest(tries: Sequence[Try], wanted: Mapping[str, Level], together: Sequence[Sequence[int]]) -> list[int]:
    """Which of the tries to make, in their order. wanted: by fingerprint; together: tries that must not all be made."""
    clearing = {print_: [n for n, one in enumerate(tries) if print_ in one.clears] for print_ in wanted}
    clearing = {print_: some for print_, some in sorted(clearing.items()) if some}
    if not clearing:
        return []
    if len(tries) == 1:
        return [] if [0] in together else [0]
    solver = _solver()
    made = [solver.addBinary(obj=_cost(one, rank)) for rank, one in enumerate(tries)]
    for print_, some in clearing.items():
        left = solver.addBinary(obj=LEFT[wanted[print_]])
        solver.addConstr(sum((made[n] for n in some), left) >= 1)
    for group in (*_in_each_other_s_way(tries), *together):
        solver.addConstr(sum((made[n] for n in group[1:]), made[group[0]] + 0) <= len(group) - 1)
    solver.minimize()
    return [n for n, value in enumerate(solver.vals(made)) if value > 0.5]


def _solver() -> Any:
    """HiGHS, which says who it is on standard output as it is made, whatever its options: that is sent nowhere."""
    import highspy

    sys.stdout.flush()
    out, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    finally:
        os.dup2(out, 1)
        os.close(out)
        os.close(nowhere)
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    return solver


def _cost(one: Try, rank: int) -> float:
    repair = one.repair
    return len(repair.edits) + DESIGN * (not repair.keeps_design) + METRE * repair.far + LATER * rank


def _in_each_other_s_way(tries: Sequence[Try]) -> list[tuple[int, int]]:
    """Pairs that touch one line of plants, or one place of the text."""
    pairs = []
    for a, b in combinations(range(len(tries)), 2):
        first, second = tries[a].repair, tries[b].repair
        if set(first.keys) & set(second.keys) or any(_meet(x.path, y.path) for x in first.edits for y in second.edits):
            pairs.append((a, b))
    return pairs


def _meet(a: tuple[object, ...], b: tuple[object, ...]) -> bool:
    """One of the two paths leads through the other; two items added to one list do not meet."""
    shorter = min(len(a), len(b))
    return a[:shorter] == b[:shorter] and a[-1] != END
