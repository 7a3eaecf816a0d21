"""CLIMB-02, CLIMB-03, CLIMB-05 and CLIMB-06: a climber and the structure that it grows on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.schema.geometry import distance_to

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

GROWN = 40
CLOSED, OPEN = ("wall", "building", "fence", "retaining wall"), 0.3
STRENGTH = {"light": 1, "medium": 2, "heavy": 3}
WEIGHT = ("", "light", "medium-weight", "heavy")
FRAIL = ("fence", "trellis", "wires", "railing", "screen")
BAD = {"render": "render, which its roots lift", "old": "old mortar, which its roots open"}
TENDED = ("cut", "trim", "clip", "prune")


def on_structures(border: Border) -> Iterator[tuple[Planting, list[Any]]]:
    """Each planting that the plan puts on structures, with these."""
    structures = {s.key: s for s in border.plan.structures if s.key}
    for planting in border.plantings:
        supports = [structures[key] for key in planting.line.on if key in structures]
        if supports:
            yield planting, supports


def cut_yearly(planting: Planting) -> bool:
    """The plan keeps it to a size or cuts it back every year."""
    line = planting.line
    return bool(line.pruned_to or line.clipped or (line.cut_back and (line.cut_back.every or 1) == 1))


def tended(border: Border, planting: Planting) -> bool:
    """A task of the plan cuts it."""
    tasks = (task.task.lower() for task in border.plan.tasks if planting.key in task.plants)
    return any(word in task for task in tasks for word in TENDED)


def against_wall(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A climber or wall shrub planted against what it grows on, where the ground is dry and full of footings."""
    for planting, supports in on_structures(border):
        least = limits["clinging" if planting.traits.word("climbing_method") == "self-clinging" else "distance"]
        near = [
            (round(dist(point, s.nearest_to(point)), 2), s)
            for s in supports
            if s.kind in CLOSED and (s.openness or 0.0) < OPEN and len(s.points) >= 2
            for point in planting.points
        ]
        distance, support = min(near, key=lambda one: one[0], default=(least, None))
        if support is not None and distance < least:
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "support": support.kind, "distance": distance,
                 "move": round(least - distance, 2), "least": least},
                ((support.path, f"the {support.kind}"),),
            )  # fmt: skip


def too_vigorous(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A climber that grows far longer than its support has room for."""
    for planting, supports in on_structures(border):
        if planting.life_form != "climber" or cut_yearly(planting) or tended(border, planting):
            continue
        heights = [s.height for s in supports if s.height]
        size = border.size(planting, GROWN)
        if size is None:
            yield Unjudged(planting.key, border.wanting_size(planting), planting.path)
            continue
        if not heights:
            continue
        room = limits["factor"] * (max(heights) + sum(_run(s.points) for s in supports) / 2)
        if size.height.typical <= room:
            continue
        yield Finding(
            "warning", (planting.key,), (*planting.path, "on"),
            {"plant": planting.title, "height": round(size.height.typical, 1), "room": round(room, 1),
             "support": f"the {supports[0].kind} {supports[0].key}"},
            ((supports[0].path, "its support"),),
        )  # fmt: skip


def _run(points: Sequence[tuple[float, float]]) -> float:
    """Length in m of a structure's line, or of its faces."""
    closed = [*points, points[0]] if len(points) > 2 else points
    return sum(dist(a, b) for a, b in pairwise(closed))


def bad_face(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A self-clinging climber on a face that it harms, or near a gutter or window that nobody keeps free."""
    for planting, supports in on_structures(border):
        if planting.traits.word("climbing_method") != "self-clinging":
            continue  # where nobody recorded how it climbs, CLIMB-01 says so
        for support in supports:
            case = "face" if support.pointing in BAD else _reached(border, planting, support, limits["near"])
            if not case or (case != "face" and tended(border, planting)):
                continue
            yield Finding(
                "warning", (planting.key,), (*planting.path, "on"),
                {"plant": planting.title, "support": f"the {support.kind} {support.key}", "face": BAD.get(support.pointing or "", "")},
                ((support.path, "its support"),), case=case,
            )  # fmt: skip
            break


def _reached(border: Border, planting: Planting, support: Any, near: float) -> str:
    """gutter or window, where it will come near one; else empty."""
    size = border.size(planting, GROWN)
    if size is None:
        return ""
    if support.gutter and size.height.typical >= support.gutter - near:
        return "gutter"
    half = (planting.line.covers or size.spread.typical) / 2
    sills = [window for window in support.windows if (window.sill or 0.0) - near <= size.height.typical]
    if any(
        distance_to(point, window.ends, closed=False) - half <= near for window in sills for point in planting.points
    ):
        return "window"
    return ""


def too_heavy(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A climber heavier than its supports carry."""
    for planting, supports in on_structures(border):
        if planting.life_form != "climber" or cut_yearly(planting):
            continue
        weight, carried = planting.traits.step("climber_weight"), [STRENGTH.get(s.strength or "") for s in supports]
        known = [strength for strength in carried if strength]
        if weight is None:
            if known:
                yield Unjudged(planting.key, ("climber_weight",), planting.path)
            continue
        if not known:
            if weight == STRENGTH["heavy"] and all(s.kind in FRAIL for s in supports):
                yield Unjudged(planting.key, ("structures: strength",), planting.path)
            continue
        if weight > max(known):
            yield Finding(
                "warning", (planting.key,), (*planting.path, "on"),
                {"plant": planting.title, "weight": WEIGHT[weight], "support": f"the {supports[0].kind} {supports[0].key}",
                 "carries": WEIGHT[max(known)]},
                ((supports[0].path, "its support"),),
            )  # fmt: skip
