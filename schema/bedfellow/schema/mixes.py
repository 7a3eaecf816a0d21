"""A mix as plant lines: its plants share one staggered grid, each kind spread evenly over it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import Any

from bedfellow.schema.geometry import ROWS, Point, area, staggered_grid

CLOSED = (
    9.0  # plants a square metre where a mix states neither number, density nor distance: common practice for 9 cm pots
)


def lines_of(
    mix: Mapping[str, Any], key: str, outline: Sequence[Point], centres: float | None
) -> list[tuple[str, int, dict[str, Any]]]:
    """(list in the mix, its index, a plant line as plain data) for each plant of the mix.

    key: of the mix, which alone fixes where its plants stand. outline: metres. centres: planting distance in metres.
    """
    carried = [(part, n, member) for part in ("matrix", "mingled") for n, member in enumerate(mix.get(part) or [])]
    single = [("scattered", n, member) for n, member in enumerate(mix.get("scattered") or [])]
    density = mix.get("per_m2") or (1 / (ROWS * centres**2) if centres else CLOSED)
    total = mix.get("quantity") or max(len(carried), round(area(outline) * density))
    counts = shared_out(total, [member.get("number", member.get("share")) for *_, member in carried])
    numbers = [*counts, *(member.get("number", 1) for *_, member in single)]
    places = staggered_grid(outline, sum(numbers), key) if sum(numbers) else ()
    taken = spread_evenly(numbers)
    lines = []
    for which, (part, n, member) in enumerate([*carried, *single]):
        at = [list(point) for point, owner in zip(places, taken, strict=True) if owner == which]
        line = {name: member[name] for name in ("name", "supplied") if name in member}
        line |= {"key": member.get("key") or f"{key} {which + 1}", "at": at, "quantity": len(at), "mix": key}
        if at:
            lines.append((part, n, line))
    return lines


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
