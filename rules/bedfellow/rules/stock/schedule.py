"""STOCK-01, -02, -03 and -07: names, keys and quantities."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border


def name_not_found(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A name that no record has, or that is no longer the accepted one."""
    for line in border.unknown_names:
        near = border.near_names(line.name)
        yield Finding(
            "STOCK-03", "error", (line.key,),
            f"No plant is called '{line.name}'. {'Nearest: ' + listed(near) + '.' if near else 'No known name is near it.'}",
            (*line.path, "name"), (), {"near": list(near)}, confidence="high",
            mend=f"Write {near[0]}, or add a record of the plant." if near else "Correct the name, or add a record of the plant.",
        )  # fmt: skip
    for planting in border.plantings:
        if planting.traits.matched in ("synonym", "common"):
            kind = "a synonym of" if planting.traits.matched == "synonym" else "a common name of"
            yield Finding(
                "STOCK-03", "note", (planting.key,), f"{planting.line.name} is {kind} {planting.traits.name}.",
                (*planting.path, "name"), (), {"accepted": planting.traits.name}, confidence="high",
                mend=f"Write {planting.traits.name}.",
            )  # fmt: skip


def keys(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A key that stands for two lines, or that something names and no line has."""
    lines = defaultdict(list)
    for line in border.plan.lines:
        lines[line.key].append(line)
    for key, same in lines.items():
        if len(same) > 1:
            yield Finding(
                "STOCK-07", "error", (key,), f"The key {key} stands for {len(same)} lines: {listed([line.name for line in same])}.",
                (*same[1].path, "key"), tuple(((*line.path, "key"), "also here") for line in (same[0], *same[2:])),
                {"lines": len(same)}, apart=("twice",), confidence="high", mend="Give each line a key of its own.",
            )  # fmt: skip
    for entry in border.plan.schedule:
        if entry.key not in lines:
            yield Finding(
                "STOCK-07", "error", (entry.key,), f"The schedule names the key {entry.key}, and no line of the plan has it.",
                (*entry.path, "key"), (), {}, apart=("undefined",), confidence="high", mend="Correct the key.",
            )  # fmt: skip


def schedule_differs(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """The drawing and the schedule count a plant differently."""
    drawn: dict[str, int] = defaultdict(int)
    paths = {}
    for line in border.plan.lines:
        drawn[line.key] += (line.stated_quantity or 0) + (line.spare or 0)
        paths[line.key] = line.path
    for entry in border.plan.schedule:
        if entry.quantity is None or entry.key not in drawn or entry.quantity == drawn[entry.key]:
            continue
        yield Finding(
            "STOCK-01", "error", (entry.key,),
            f"The drawing has {drawn[entry.key]} of {entry.key}, the schedule {entry.quantity}.",
            (*entry.path, "quantity"), ((paths[entry.key], "on the drawing"),),
            {"drawn": drawn[entry.key], "scheduled": entry.quantity}, confidence="high", mend="Set one quantity to the other.",
        )  # fmt: skip


def area_differs(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A drift whose quantity does not fit its area at the plan's own distance or density."""
    for line in border.plan.lines:
        ground, fit = line.ground, line.fitting
        if ground is None or fit is None or line.quantity is None:
            continue
        off = abs(line.quantity - fit) / fit
        if round(off, 2) <= limits["warning"]:
            continue
        stated = f"{round(line.centres * 100)} cm centres" if line.centres else f"{line.per_m2:g} a square metre"
        yield Finding(
            "STOCK-02", "error" if round(off, 2) > limits["error"] else "warning", (line.key,),
            f"{line.name} ({line.key}): {line.quantity} are stated for {ground:.1f} m²; at {stated} that takes {round(fit)}.",
            (*line.path, "quantity"), (), {"stated": line.quantity, "fit": round(fit), "area": round(ground, 2)},
            confidence="high", mend=f"Set the quantity to {round(fit)}.",
        )  # fmt: skip
