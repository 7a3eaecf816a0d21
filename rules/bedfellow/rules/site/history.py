"""SITE-09 to SITE-11: rich soil, and what grew or happened here before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.site.soil import HEAVY, steps_off
from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SUPPORTED = ("stake", "staking", "support", "tie")
OFTEN = 2  # step of susceptibility


def flops(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Plants that grow lax on rich heavy soil and are not supported, in one note."""
    if border.plan.site.fertility != "rich":
        return
    lax = []
    for planting in border.plantings:
        if planting.woody or planting.life_form in ("bulb", "fern") or border.soil(planting).texture not in HEAVY:
            continue
        if steps_off(border, planting):
            continue  # the wrong ground is a matter of SITE-02
        falls = planting.traits.yes("flops_when_rich")
        if falls is None:
            yield Unjudged(planting.key, ("flops_when_rich",), planting.path)
        elif falls and not _supported(border, planting):
            lax.append(planting)
    if lax:
        yield together("note", lax, ("site", "fertility"))


def _supported(border: Border, planting: Planting) -> bool:
    return any(
        planting.key in task.plants and any(word in task.task.lower() for word in SUPPORTED)
        for task in border.plan.tasks
    )


def replanted(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Roses where roses grew, and what honey fungus often kills where it is; one finding for each."""
    history = border.plan.site.history
    roses: list[Planting] = []
    killed: list[Planting] = []
    for planting in border.plantings if {"roses", "honey fungus"} & set(history) else ():
        if planting.temporary or _replaced(border, planting, limits["depth"]):
            continue
        if "roses" in history and planting.traits.name.startswith("Rosa "):
            roses.append(planting)
        if "honey fungus" not in history or not planting.woody:
            continue
        step = planting.traits.step("honey_fungus")
        if step is None:
            yield Unjudged(planting.key, ("honey_fungus",), planting.path)
        elif step >= OFTEN:
            killed.append(planting)
    for case, plantings in (("roses", roses), ("fungus", killed)):
        if plantings:
            yield together("warning", plantings, ("site", "history"), case=case)


def _replaced(border: Border, planting: Planting, depth: float) -> bool:
    """All of it stands in soil that was replaced deep enough."""
    fresh = [
        area.outline for area in border.plan.soil_areas if area.kind == "soil replaced" and (area.depth or 0.0) >= depth
    ]
    return bool(planting.points) and all(any(inside(point, outline) for outline in fresh) for point in planting.points)


def near_walnut(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that walnut poisons, near a tree that makes the poison, or where one grew."""
    makers = [
        (standing.title, standing.kept.at, standing.kept.path)
        for standing in border.retained
        if standing.traits and standing.traits.word("juglone") == "produces"
    ]
    makers += [
        (planting.title, point, planting.path)
        for planting in border.plantings
        if planting.traits.word("juglone") == "produces"
        for point in planting.points
    ]
    grew = "walnut" in border.plan.site.history
    if not makers and not grew:
        return
    for planting in border.plantings:
        near = min(
            ((dist(point, at), title, path) for point in planting.points for title, at, path in makers), default=None
        )
        close = near is not None and near[0] <= limits["distance"]
        answer = planting.traits.word("juglone")
        if not (close or grew) or answer in ("tolerant", "produces"):
            continue
        if answer is None:
            yield Unjudged(planting.key, ("juglone",), planting.path)
            continue
        distance, title, path = near if close and near else (0.0, "", ("site", "history"))
        yield Finding(
            "warning", (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "walnut": title, "distance": round(distance, 2), "source": border.source(planting, "juglone")},
            ((path, "the walnut"),), case="near" if close else "grew",
        )  # fmt: skip
