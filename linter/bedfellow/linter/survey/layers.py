"""What a layer of a drawing holds, by its name; the names that our own drawings use are those of ``OURS``.

A layer is taken for what one of its words says: a group (beds, plants …), a kind of structure, surface or service (fence,
lawn, drain …), or a plant that is known by that very name.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from bedfellow.schema.validity import SCHEMA


class Role(NamedTuple):
    """What a layer holds: a group, and of structures, surfaces and services the kind; of plants the name, where it is one."""

    group: str
    kind: str = ""

    def __str__(self) -> str:
        return f"{self.group} ({self.kind})" if self.kind else self.group


GROUPS = (
    "beds", "plants", "crowns", "drifts", "structures", "surfaces", "services", "boundaries", "retained", "roots", "keys", "nothing",
)  # fmt: skip
OF_A_KIND = ("structures", "surfaces", "services")
# Words in the names of other people's layers, the first that fits; common practice.
WORDS = (
    ("retained", ("retained", "existing")),
    ("roots", ("root", "roots", "rpa")),
    ("crowns", ("crown", "crowns", "canopy", "canopies")),
    ("drifts", ("drift", "drifts", "group", "groups")),
    ("keys", ("key", "keys", "label", "labels", "text", "annotation")),
    ("boundaries", ("boundary", "boundaries")),
    ("beds", ("bed", "beds", "border", "borders")),
    ("plants", ("plant", "plants", "planting", "shrub", "shrubs", "tree", "trees", "perennial", "perennials", "bulb", "bulbs")),
    ("structures", ("structure", "structures")),
    ("surfaces", ("surface", "surfaces")),
    ("services", ("service", "services")),
)  # fmt: skip


@cache
def roles() -> tuple[Role, ...]:
    """Every kind of structure, surface and service, as the plan's schema has them."""
    properties = json.loads(SCHEMA.read_text("utf-8"))["properties"]
    return tuple(
        Role(group, kind) for group in OF_A_KIND for kind in properties[group]["items"]["properties"]["kind"]["enum"]
    )


@cache
def kinds() -> Mapping[str, Role]:
    """Kind to what it is alone: water is a surface, unless the services are named too."""
    return {role.kind: role for role in reversed(roles())}


def asked_role(word: str) -> Role:
    """What a person says that a layer holds. Raises ValueError in words."""
    said = " ".join(word.split()).casefold()
    role = kinds().get(said) or (Role(said) if said in GROUPS else _ours().get(said.replace(" ", "-", 1).upper()))
    if role is None:
        raise ValueError(f"'{word}' is nothing that a layer can hold; write {', '.join(GROUPS)}, or a kind such as {', '.join(list(kinds())[:4])}")  # fmt: skip
    return role


def role_of(layer: str) -> Role | None:
    """What a layer holds by its name; None where no word of it says so."""
    if layer.upper() in _ours():
        return _ours()[layer.upper()]
    words = re.findall(r"[^\W\d_]+", layer.casefold())
    text = f" {' '.join(words)} "
    # The longest name first: a retaining wall is no wall, and a root barrier no root.
    named = [
        kind
        for kind in sorted(kinds(), key=lambda kind: (-len(kind), kind))
        if f" {kind} " in text or f" {kind}s " in text
    ]
    if named and " " in named[0]:
        return kinds()[named[0]]
    group = next((group for group, some in WORDS if any(word in some for word in words)), None)
    if group is None or group in OF_A_KIND:
        fitting = (
            Role(group, kind) if group else kinds()[kind] for kind in named if not group or Role(group, kind) in roles()
        )
        return next(fitting, Role(group) if group else None)
    return Role(group)


@cache
def _ours() -> Mapping[str, Role]:
    return {layer_of(role): role for role in (*map(Role, GROUPS), *roles())}


def layer_of(role: Role) -> str:
    """The layer of our own drawings for what it holds."""
    return f"{role.group}-{role.kind}".upper() if role.kind else role.group.upper()
