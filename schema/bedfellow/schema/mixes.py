"""A mix as plant lines: its plants share one staggered grid, each kind spread evenly over it."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from bedfellow.schema.details import Mix
from bedfellow.schema.geometry import ROWS, Point, staggered_grid
from bedfellow.schema.plan import Line

CLOSED = 9.0  # plants a square metre where a mix states no number, density or distance: common practice for 9 cm pots


def lines_of(mix: Mix) -> tuple[Line, ...]:
    """A line for each plant of the mix that has a place in it; the key of the mix alone fixes where its plants stand."""
    carried = [*mix.matrix, *mix.mingled]
    density = mix.per_m2 or (1 / (ROWS * mix.centres**2) if mix.centres else CLOSED)
    total = mix.quantity or max(len(carried), round(mix.ground * density))
    wanted = [member.number or (None if member.share is None else float(member.share)) for member in carried]
    numbers = [*shared_out(total, wanted), *(member.number or 1 for member in mix.scattered)]
    places = staggered_grid(mix.outline, sum(numbers), mix.key, mix.holes, mix.ground) if sum(numbers) else ()
    stands: list[list[Point]] = [[] for _ in numbers]
    for point, which in zip(places, spread_evenly(numbers) if places else (), strict=True):
        stands[which].append(point)
    return tuple(
        Line(
            member.path, member.name, member.key or f"{mix.key} {which + 1}", tuple(at), quantity=len(at),
            border=mix.border, supplied=member.supplied, extra=member.extra, mix=mix.key,
        )
        for which, (member, at) in enumerate(zip([*carried, *mix.scattered], stands, strict=True))
        if at
    )  # fmt: skip


def shared_out(total: int, wanted: Sequence[float | None]) -> list[int]:
    """Whole numbers for members that state a number (from 1 up, whole), a share (a fraction) or nothing (the rest).

    Fractions are of the total and rounded so that the sum holds (largest remainders); one without a share takes an equal
    part of what the others leave.
    """
    fixed = [int(want) if isinstance(want, int) and not isinstance(want, bool) and want >= 1 else 0 for want in wanted]
    left = max(0, total - sum(fixed))
    shares = [0.0 if number else want for number, want in zip(fixed, wanted, strict=True)]
    stated = sum(share for share in shares if share)
    silent = sum(share is None for share in shares)
    rest = max(0.0, 1 - stated) / silent if silent else 0.0
    parts = [rest if share is None else share for share in shares]
    whole = sum(parts)
    exact = [left * part / whole if whole else 0.0 for part in parts]
    counts = [int(number) for number in exact]
    order = sorted(range(len(exact)), key=lambda n: (counts[n] - exact[n], n))
    for n in order[: round(sum(exact)) - sum(counts)]:
        counts[n] += 1
    return [number or count for number, count in zip(fixed, counts, strict=True)]


def spread_evenly(numbers: Sequence[int]) -> list[int]:
    """Whose turn it is at each of sum(numbers) places, so that each kind comes at even intervals."""
    turns = [((turn + 0.5) / number, which) for which, number in enumerate(numbers) for turn in range(number)]
    # Kinds of equal number would always stand in the same order; a step of the golden ratio keeps them from pairing up.
    golden = (sqrt(5) - 1) / 2
    return [
        which
        for _, which in sorted(((when + which * golden / max(1, sum(numbers))) % 1, which) for when, which in turns)
    ]
