"""STOCK-01, -02, -03 and -07: names, keys and quantities."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.schema.place import Path
    from bedfellow.schema.plan import Plan


def name_not_found(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A name that no record has, or that is no longer the accepted one."""
    for line in border.unknown_names:
        near = border.near_names(line.name)
        yield Finding(
            "error", (line.key,), (*line.path, "name"),
            {"name": line.name, "near": listed(near), "nearest": near[0] if near else ""},
            confidence="high", case="near" if near else "unknown",
        )  # fmt: skip
    for planting in border.plantings:
        if planting.traits.matched in ("synonym", "common"):
            yield Finding(
                "note", (planting.key,), (*planting.path, "name"), {"name": planting.line.name, "accepted": planting.traits.name},
                confidence="high", case=planting.traits.matched,
            )  # fmt: skip


def keys(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A key that stands for two lines, that something names and no line has, or that the schedule leaves out."""
    plan = border.plan
    lines = defaultdict(list)
    for line in plan.lines:
        lines[line.key].append(line)
    for key, same in lines.items():
        if len(same) > 1:
            yield Finding(
                "error", (key,), (*same[1].path, "key"), {"key": key, "lines": len(same), "names": listed([line.name for line in same])},
                tuple(((*line.path, "key"), "also here") for line in (same[0], *same[2:])),
                apart=("twice",), confidence="high", case="twice",
            )  # fmt: skip
    plants = set(lines) | {plant.key for plant in plan.retained}
    structures = {structure.key for structure in plan.structures}
    for key, path, where, known in _named(plan):
        if key not in (structures if known == "structure" else plants):
            yield Finding(
                "error", (key,), path, {"key": key, "where": where, "known": known}, apart=("undefined",), confidence="high",
                case="undefined",
            )  # fmt: skip
    scheduled = {entry.key for entry in plan.schedule}
    for key, same in lines.items() if scheduled else ():
        if key not in scheduled and same[0].mix is None:
            yield Finding(
                "error", (key,), same[0].path, {"key": key, "name": same[0].name}, apart=("unscheduled",), confidence="high",
                case="unscheduled",
            )  # fmt: skip


def _named(plan: Plan) -> Iterator[tuple[str, Path, str, str]]:
    """(key, path, where it is named, what it must be) of every key that something names."""
    for entry in plan.schedule:
        yield entry.key, (*entry.path, "key"), "The schedule", "line"
    for task in plan.tasks:
        for key in task.plants:
            yield key, (*task.path, "plants"), f"The task '{task.task}'", "line"
    for line in plan.lines:
        for word, named, known in (
            ("on", line.on, "structure"), ("through", line.through, "line"), ("under", line.under, "line"), ("fills", line.fills, "line"),
            ("makes_way_for", (line.makes_way_for,) if line.makes_way_for else (), "line"),
        ):  # fmt: skip
            for key in named:
                yield key, (*line.path, word), f"{line.key} ({word})", known


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
            "error", (entry.key,), (*entry.path, "quantity"), {"key": entry.key, "drawn": drawn[entry.key], "scheduled": entry.quantity},
            ((paths[entry.key], "on the drawing"),), confidence="high",
        )  # fmt: skip


def area_differs(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A drift whose quantity does not fit its area at the plan's own distance or density."""
    for line in border.plan.lines:
        ground, fit = line.ground, line.fitting
        if ground is None or fit is None or line.quantity is None or line.scattered:
            continue
        off = round(abs(line.quantity - fit) / fit, 2) if fit else 1.0
        if off <= limits["warning"]:
            continue
        yield Finding(
            "error" if off > limits["error"] else "warning", (line.key,), (*line.path, "quantity"),
            {"plant": f"{line.name} ({line.key})", "stated": line.quantity, "fit": round(fit), "area": round(ground, 1), "off": off,
             "distance": f"{round(line.centres * 100)} cm centres" if line.centres else f"{line.per_m2:g} a square metre"},
            confidence="high",
        )  # fmt: skip
