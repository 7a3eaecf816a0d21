"""Substitutes for one plant among 10,000, beside one judgement of the plan; run by hand.

python tests/benchmarks/swap_time.py
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from store_time import PLANTS, plants  # beside this file

import bedfellow.linter
from bedfellow.linter.engine import Options, border_of
from bedfellow.linter.repair.substitute import substitutes
from bedfellow.linter.repair.trial import found
from bedfellow.rules.border.border import Border
from bedfellow.traits_db.folders import SHIPPED
from bedfellow.traits_db.records import read_records
from bedfellow.traits_db.snapshot import open_snapshot
from bedfellow.traits_db.store import write_store

PLAN = Path(bedfellow.linter.__file__).parent / "demo" / "orchard-gate-mended.plan.yaml"
KEYS, BUDGET = ("OsB", "SaC", "AlM", "NeW"), 2.0


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        records = plants(PLANTS)
        records.taxa.update(read_records([SHIPPED]).taxa)  # those of the plan
        write_store(records, Path(name) / "plants.sqlite", "benchmark")
        store, options = open_snapshot(Path(name) / "plants.sqlite"), Options()
        border, _ = border_of(PLAN, store)
        assert border is not None
        found(border, options)  # imports what judging takes
        start = time.process_time()
        found(Border(border.plan, store), options)
        judged = time.process_time() - start
        for key in KEYS:
            start = time.process_time()
            answer = substitutes(border, border.by_key[key], (), (), 4, options)
            taken = time.process_time() - start
            told = f"{len(answer.good)} and nearly {len(answer.near)}, {len(answer.refused)} refused, {answer.left} not tried"
            print(
                f"{key}: {told}: {taken:.2f} s of processor (budget {BUDGET:g}), {taken / judged:.1f} judgements of the plan"
            )


if __name__ == "__main__":
    main()
