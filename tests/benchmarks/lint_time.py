"""Whole processes side by side: ``python tests/benchmarks/lint_time.py`` prints ratios, not times.

Linting a 60-plant plan with all checks against a general YAML-with-JSON-Schema validator that only reads and validates the
same file; an unchanged plan, which an installed package answers from what it said before; peak memory of both; and how the
time grows with the number of plants. An answer is never taken from before where it should not be: each run has a date of its
own.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from itertools import count
from pathlib import Path

import bedfellow.schema
from bedfellow.linter import remembered

SCHEMA = Path(bedfellow.schema.__file__).with_name("plan.schema.json")
SCRIPTS = Path(sys.executable).parent
RUNS = 7
PLANTS = (
    "Cornus mas", "Osmanthus × burkwoodii", "Viburnum tinus", "Philadelphus 'Belle Étoile'", "Taxus baccata",
    "Lavandula angustifolia 'Hidcote'", "Geranium macrorrhizum", "Salvia nemorosa 'Caradonna'", "Alchemilla mollis", "Hosta 'Halcyon'",
    "Narcissus 'Tête-à-tête'", "Allium hollandicum", "Miscanthus sinensis 'Morning Light'", "Dryopteris filix-mas",
    "Hylotelephium 'Herbstfreude'", "Persicaria amplexicaulis 'Alba'",
)  # fmt: skip


def plan_of(number: int, folder: Path) -> Path:
    """A plan with so many plants, at the density of a real border."""
    width = max(6.0, number / 4)
    lines = [
        "format: 1", "site: {latitude: 51.6, faces: SW, ph: 6.8, moisture: moist well-drained, minimum_temperature: -9}",
        f"border: {{outline: [[0, 0], [{width}, 0], [{width}, 4], [0, 4]]}}", "structures:",
        f"- {{kind: fence, from: [0, 4], to: [{width}, 4], height: 1.8}}", "plants:",
    ]  # fmt: skip
    lines += [
        f'- {{key: P{n}, name: "{PLANTS[n % len(PLANTS)]}", at: [{0.2 + (n * 0.2477) % (width - 0.4):.2f}, {0.2 + (n * 1.37) % 3.6:.2f}]}}'
        for n in range(number)
    ]
    file = folder / f"{number}.plan.yaml"
    file.write_text("\n".join(lines) + "\n", "utf-8")
    return file


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, check=False)
    return time.perf_counter() - start


DAYS = count(1)


def on_another_day(command: list[str]) -> list[str]:
    return [*command, "--today", (date(2026, 1, 1) + timedelta(next(DAYS))).isoformat()]


def peak(command: list[str]) -> int:
    """Peak resident memory in kilobytes."""
    code = "import resource,subprocess,sys;subprocess.run(sys.argv[1:],capture_output=True);print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    return int(
        subprocess.run([sys.executable, "-c", code, *command], capture_output=True, text=True, check=True).stdout
    )


def main() -> None:
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plan = plan_of(60, folder)
        ours = [str(SCRIPTS / "bedfellow"), "lint", str(plan)]
        theirs = [str(SCRIPTS / "check-jsonschema"), "--schemafile", str(SCHEMA), str(plan)]
        for command in (ours, theirs):
            seconds(command), seconds(command)
        pairs = [(seconds(on_another_day(ours)), seconds(theirs)) for _ in range(RUNS)]
        ratio = statistics.median(o for o, _ in pairs) / statistics.median(t for _, t in pairs)
        print(f"60 plants, all checks, over a general validator: {ratio:.2f} of its time (goal 0.80)")
        if remembered.BUILT[0].exists():
            unchanged = statistics.median(seconds(ours) for _ in range(RUNS)) / statistics.median(t for _, t in pairs)
            print(f"the same, unchanged: {unchanged:.2f} of its time (goal 0.25)")
        wrong = folder / "wrong.plan.yaml"
        wrong.write_text(plan.read_text("utf-8").replace("latitude:", "lattitude:"), "utf-8")
        faulty = [
            (seconds(on_another_day([*ours[:-1], str(wrong)])), seconds([*theirs[:-1], str(wrong)]))
            for _ in range(RUNS)
        ]
        ratio = statistics.median(o for o, _ in faulty) / statistics.median(t for _, t in faulty)
        print(f"a plan that does not fit the schema: {ratio:.2f} of its time (goal 0.80)")
        print(f"peak memory over the same: {peak(on_another_day(ours)) / peak(theirs):.2f} (goal 2.00)")
        base = None
        for number in (100, 300, 1000):
            plan = plan_of(number, folder)
            took = statistics.median(seconds(on_another_day([*ours[:-1], str(plan)])) for _ in range(3))
            base = base or took
            print(f"{number} plants over 100: {took / base:.1f} times the time (goal for 1,000: 10)")


if __name__ == "__main__":
    main()
