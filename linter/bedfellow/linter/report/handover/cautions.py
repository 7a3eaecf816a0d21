"""What is dangerous, and who is to be asked: plants, trees, services, height, and what the law may say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import with_caution
from bedfellow.rules.safe.reach import SEVERITY
from bedfellow.rules.words import listed, metres

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.rules.border.border import Border

TREES = (
    "Trees near buildings are a matter for a structural engineer and a qualified arborist; ask the authority whether a tree is "
    "protected before it is pruned, moved or felled."
)
SERVICES = (
    "Find buried services before any digging: ask those who own them, for a plan shows only what its writer knew."
)
HEIGHT = "Work at height, and with machines, is for those trained and licensed for it."
LOCAL = "What may be planted, watered, burnt, cut or felled, and when, is for local rules to say; they come first."


@dataclass(frozen=True, slots=True)
class Harmful:
    """A plant that is known to harm: whom, how and by which part in words, how badly, and where that comes from."""

    name: str
    keys: tuple[str, ...]
    whom: str
    how: str
    severity: str
    source: str


def harmful(border: Border) -> tuple[Harmful, ...]:
    """A row for each plant and way of harm, by name; the worst first."""
    rows: dict[str, dict[tuple[str, str], dict[str, int]]] = {}
    keys: dict[str, list[str]] = {}
    sources: dict[str, str] = {}
    for planting in border.standing:
        name = planting.traits.name
        keys.setdefault(name, []).append(planting.key or "retained")
        sources[name] = border.source(planting, "hazards")
        for hazard in planting.traits.hazards() or ():
            who = rows.setdefault(name, {}).setdefault((hazard.how, hazard.part), {})
            who[hazard.who] = max(hazard.severity, who.get(hazard.who, 0))
    found = []
    for name in sorted(rows, key=str.casefold):
        for (how, part), whom in sorted(rows[name].items(), key=lambda entry: (-max(entry[1].values()), entry[0])):
            worst = max(whom.values())
            found.append(
                Harmful(
                    name,
                    tuple(dict.fromkeys(keys[name])),
                    listed(sorted(whom)),
                    f"{how}: {part}",
                    SEVERITY[worst],
                    sources[name],
                )
            )
    return tuple(found)


def unlisted(border: Border) -> tuple[str, ...]:
    """Plants of which no entry on hazards was found, and names that were not recognised."""
    known = {planting.title for planting in border.standing if planting.traits.hazards() is None}
    return (*sorted(known), *sorted({f"{line.name} ({line.key})" for line in border.unknown_names}))


def said(result: Result) -> tuple[str, ...]:
    """The cautions of the findings and those that a pack always bears, each once."""
    return tuple(dict.fromkeys((*with_caution(result.cautions), TREES, SERVICES, HEIGHT, LOCAL)))


def on_site(border: Border) -> Iterator[tuple[str, str]]:
    """(what the plan says of the place, who is to be asked), in order."""
    for service in border.plan.services:
        depth = f", {metres(service.depth)} deep" if service.depth else ""
        ends = " to ".join(f"({x:.2f}, {y:.2f})" for x, y in service.ends)
        yield f"{service.kind} at {ends or 'an unstated place'}{depth}", "its owner, before digging"
    for planting in border.retained:
        kept = planting.kept
        law = " (protected" + (f", consent {kept.consent})" if kept.consent else ")") if kept.protected else ""
        root = f"; its roots are protected within {metres(planting.root_radius)}" if planting.root_radius else ""
        fence = f"; {kept.protection}" if kept.protection else ""
        yield f"{planting.title} stays{law}{root}{fence}", "a qualified arborist, before work near it"
    for plant in border.plan.retained:
        if plant.action != "keep":
            yield (
                f"{plant.name} ({plant.key}): {plant.action}",
                "a qualified arborist; the authority, whether it is protected",
            )
    for structure in border.plan.structures:
        if structure.kind == "building" and any(p.is_tree or (p.woody and not p.supported) for p in border.standing):
            name = f"building {structure.key}" if structure.key else "the building"
            soil = {
                True: "shrinkable soil",
                False: "soil that does not shrink",
                None: "soil of which nobody says whether it shrinks",
            }[border.plan.site.shrinkable]
            yield f"woody plants near {name}, on {soil}", "a structural engineer"
    for boundary in border.plan.boundaries:
        if boundary.beyond in ("paddock", "neighbour", "road", "footpath", "wild land", "water"):
            yield (
                f"{boundary.beyond} beyond the boundary {boundary.key or ''}".rstrip(),
                "the neighbour or the authority, on what may overhang or spread",
            )
