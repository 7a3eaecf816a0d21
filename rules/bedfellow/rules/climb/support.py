"""CLIMB-01: a climber without something it can climb."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

GRASPED = ("trellis", "wires", "pergola", "arch", "post", "obelisk")
NEEDS = {
    "twining": "wires or poles to twine round",
    "leaf-stalks": "wires or stems no thicker than 12 mm for its leaf-stalks",
    "tendrils": "wires or mesh for its tendrils",
    "scrambling": "wires or trellis to be tied to",
}


def no_support(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A climber that does not cling by itself, on bare wall or fence or on nothing."""
    structures = {s.key: s for s in border.plan.structures if s.key}
    for planting in border.plantings:
        if planting.life_form != "climber":
            continue
        method = planting.traits.word("climbing_method")
        if method is None:
            yield Unjudged("CLIMB-01", planting.key, ("climbing_method",), planting.path)
            continue
        if method == "self-clinging" or planting.line.through:
            continue
        supports = [structures[key] for key in planting.line.on if key in structures]
        if any(support.kind in GRASPED or support.wires for support in supports):
            continue
        support = supports[0] if supports else None
        where = f"the {support.kind} {support.key} has none" if support else "the plan states no support for it"
        yield Finding(
            "CLIMB-01", "error" if support else "warning", (planting.key,),
            f"{planting.title} needs {NEEDS[method]}, and {where}.",
            (*planting.path, "on") if planting.line.on else planting.path, ((support.path, "its support"),) if support else (),
            {"method": method}, mend="Fix wires 30 to 45 cm apart, state the support, or choose a self-clinging climber.",
        )  # fmt: skip
