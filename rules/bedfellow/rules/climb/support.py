"""CLIMB-01: a climber without something it can climb."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

GRASPED = ("trellis", "wires", "pergola", "arch", "post", "obelisk")
THICK = ("post", "pergola", "arch")
NEEDS = {
    "twining": "wires or poles to twine round",
    "leaf-stalks": "wires or stems thin enough for its leaf-stalks",
    "tendrils": "wires or mesh for its tendrils",
    "scrambling": "wires or trellis to be tied to",
}


def no_support(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A climber that does not cling by itself, on bare wall or fence, on what is too thick for it, or on nothing."""
    structures = {s.key: s for s in border.plan.structures if s.key}
    for planting in border.plantings:
        if planting.life_form != "climber":
            continue
        method = planting.traits.word("climbing_method")
        if method is None:
            yield Unjudged(planting.key, ("climbing_method",), planting.path)
            continue
        if method == "self-clinging" or planting.line.through:
            continue
        supports = [structures[key] for key in planting.line.on if key in structures]
        evidence = {"plant": planting.title, "method": method, "needs": NEEDS[method]}
        if not supports:
            yield Finding("warning", (planting.key,), planting.path, evidence, case="unstated")
            continue
        problems = [_problem(support, method, limits) for support in supports]
        if not all(problems):
            continue
        support = supports[0]
        yield Finding(
            "error", (planting.key,), (*planting.path, "on"),
            {**evidence, "support": f"the {support.kind} {support.key}", "limit": limits["leaf_stalk"]},
            ((support.path, "its support"),), case=problems[0],
        )  # fmt: skip


def _problem(support: Any, method: str, limits: Mapping[str, Any]) -> str:
    """What is wrong with a support for a way of climbing: bare, thick, or nothing."""
    thickness = support.supports.diameter if support.supports else None
    if support.kind not in GRASPED and not support.wires and thickness is None:
        return "bare"
    if method == "leaf-stalks" and not support.wires and thickness is None and support.kind in THICK:
        return "thick"
    if method == "leaf-stalks" and thickness is not None and 1000 * thickness > limits["leaf_stalk"]:
        return "thick"
    return ""
