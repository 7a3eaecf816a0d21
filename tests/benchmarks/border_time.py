"""The grown border, measured: ``python tests/benchmarks/border_time.py`` prints ratios, not times.

How light, sight, cover and conflicts grow with the number of plants; what the months of 200 plants and a map of the ground
take of the time that they may; and the light of all plants against a general-purpose ray caster (Embree) with the crowns as
meshes: both as whole processes, each of which reads the plan, grows it and follows the same rays.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # one core

import numpy as np
from lint_time import plan_of

from bedfellow.linter.engine import border_of
from bedfellow.linter.opening import library_of
from bedfellow.rules.border import light
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.crown import PROFILES, crown_of
from bedfellow.rules.border.rays import Array, Screens, Solids, Whole, chord, solids, transmitted
from bedfellow.schema.values import FIRST_DAYS

SEASON, SIZES = 5, (100, 1_000, 10_000)
MIDDLES = tuple(float(first + 14) for first in FIRST_DAYS[:12])
AROUND, UP = 16, 8
NO_CROWNS = solids([])


def border(plan: Path) -> Border:
    grown, _ = border_of(plan, library_of([]))
    assert grown is not None
    return grown


def months(grown: Border) -> Array:
    """Hours of sun of every plant on the middle day of each month, (plants, 12)."""
    bodies, passes = grown.solids(SEASON, MIDDLES)
    tops = [(*p.points[0], 0.9 * crown.top, p.number) for p in grown.plantings if (crown := grown.crown(p, SEASON))]
    places = np.array(tops)
    return light.daily(
        places[:, :3], places[:, 3].astype(int), grown.plan.site.latitude, grown.plan.site.faces, bodies, passes,
        grown.screens(), on_days=MIDDLES,
    ).hours  # fmt: skip


def sight(grown: Border) -> None:
    grown.seen([(p, crown) for p in grown.plantings if (crown := grown.crown(p, SEASON))], SEASON, 172, 9)


WORK: dict[str, Callable[[Border], Any]] = {
    "light": lambda grown: grown.light(grown.plantings, SEASON),
    "sight": sight,
    "cover": lambda grown: [grown.cover(SEASON, day) for day in MIDDLES],
    "conflicts": lambda grown: list(grown.neighbours(10)),
    "months": months,
    "map": lambda grown: grown.light_map(SEASON),
}


def by_caster(
    origins: Array,
    owners: Whole,
    ways: Array,
    length: float,
    bodies: Solids,
    tau: Array,
    screens: Screens | None = None,
) -> Array:
    """In place of ``rays.transmitted``: what passes the crowns by the general caster, what passes the fence as ever."""
    from meshes import Bed

    if not by_caster.__dict__:
        by_caster.__dict__["bed"] = Bed(bodies, AROUND, UP)
    passed = by_caster.__dict__["bed"].passed(origins, owners, ways, bodies, tau)
    return np.asarray(passed * transmitted(origins, owners, ways, length, NO_CROWNS, np.ones(0), screens))


def child(what: str, plan: str) -> None:
    """One process: a border and one thing asked of it; seconds that the asking took, peak memory, hours where it is light."""
    if what == "caster":
        light.transmitted = by_caster
    grown = border(Path(plan))
    start = time.process_time()
    found = WORK["light" if what == "caster" else what](grown)
    took = time.process_time() - start
    hours = [figures[0] for figures in found.values()] if what in ("light", "caster") else []
    print(json.dumps([took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, hours]))


def run(what: str, plan: Path) -> tuple[float, float, float, list[float]]:
    """(seconds of the whole process, seconds of the asking alone, MB at most, hours)."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, __file__, what, str(plan)]
    took, memory, hours = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, took, memory, hours


def agreement() -> None:
    """Ways through every habit against the caster on fine meshes that lie inside the crown and about it."""
    from meshes import Caster, mesh

    rng = np.random.default_rng(1)
    gaps, beyond = [], 0.0
    for habit in sorted(PROFILES):
        crown = crown_of(habit, 2.3, 1.5, 0.3)
        through = rng.uniform((-0.75, -0.75, 0.3), (0.75, 0.75, 2.3), (20_000, 3))
        ways = rng.normal(size=through.shape)
        ways /= np.linalg.norm(ways, axis=1)[:, None]
        starts = through - ways * np.where(np.arange(len(ways)) % 4, 4.0, 0.0)[:, None]
        fields = (np.full(len(ways), value) for value in (crown.base, crown.top, crown.c0, crown.c1, crown.c2))
        ours = chord(*starts.T, *ways.T, *fields, np.inf)
        low, high = (Caster(*mesh(crown, 128, 48, grown)).chords(starts, ways, 8.0) for grown in (0, 1))
        gaps.append((high - low).sum() / ours.sum())
        beyond = max(beyond, float((low - ours).max()), float((ours - high).max()))
    print(
        f"ways through {len(gaps)} habits, 20,000 rays each: at most {1e6 * beyond:.1f} µm outside two meshes that differ by "
        f"{max(gaps):.2%} of the way at most"
    )


def main() -> None:
    agreement()
    with tempfile.TemporaryDirectory() as name:
        plans = {number: plan_of(number, Path(name)) for number in (*SIZES, 200)}
        run("cover", plans[100])
        for what, goal in (("months", 1.0), ("map", 3.0)):
            share = median(run(what, plans[200])[1] for _ in range(3)) / goal
            print(f"{what} of 200 plants: {share:.2f} of the {goal:.0f} s that they may take on one core")
        for what in ("light", "sight", "cover", "conflicts"):
            took = {number: run(what, plans[number])[1:3] for number in SIZES}
            ratios = ", ".join(f"{number:,} {took[number][0] / took[100][0]:.1f}" for number in SIZES[1:])
            print(f"{what}: time over that of 100 plants: {ratios}; {took[SIZES[-1]][1]:.0f} MB at most")
        for number in SIZES:
            ours, theirs = run("light", plans[number]), run("caster", plans[number])
            apart = np.abs(np.array(ours[3]) - theirs[3])
            print(
                f"light of {number:,} plants over the general caster: {ours[0] / theirs[0]:.2f} of its time (goal below 1), "
                f"{ours[2] / theirs[2]:.2f} of its memory; hours differ by {apart.mean() / np.mean(theirs[3]):.2%} on average, "
                f"{apart.max() / np.mean(theirs[3]):.2%} at most (goal 2%)", flush=True,
            )  # fmt: skip


if __name__ == "__main__":
    child(*sys.argv[1:]) if len(sys.argv) > 1 else main()
