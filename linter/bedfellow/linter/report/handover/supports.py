"""What climbers and plants that fall need to be held by: wires, posts, ties and stakes, from the plan and the traits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import dist, floor
from typing import TYPE_CHECKING

from bedfellow.rules.climb.support import GRASPED, NEEDS
from bedfellow.rules.words import listed, metres

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.plan import Structure

TIED = ("scrambling",)
TALL = 0.6  # m: what falls and is as tall is staked; common practice
SEASON = 3


@dataclass(frozen=True, slots=True)
class Support:
    """what: it in words; for_plants: keys; amount: how much, empty where the plan does not say enough; basis: where from."""

    what: str
    for_plants: str
    amount: str
    note: str
    basis: str


def supports(border: Border) -> tuple[Support, ...]:
    """Structures that plants grow on, then ties, hosts and stakes."""
    return (*_structures(border), *_climbers(border), *_stakes(border))


def _structures(border: Border) -> Iterator[Support]:
    for structure in border.plan.structures:
        climbing = [planting for planting in border.plantings if structure.key and structure.key in planting.line.on]
        if not climbing:
            continue
        parts = [
            part for part in (structure.material, f"{structure.height:.2f} m high" if structure.height else "") if part
        ]
        what = f"{structure.kind} {structure.key}" + (f" ({', '.join(parts)})" if parts else "")
        needs = sorted({NEEDS[m] for p in climbing if (m := p.traits.word("climbing_method")) in NEEDS})
        amount, note = _wires(structure, needs)
        runs = [
            f"{planting.key} is to cover {planting.line.covers:.2f} m" for planting in climbing if planting.line.covers
        ]
        note = "; ".join([note, *runs] if note else runs)
        yield Support(what, listed([planting.key for planting in climbing]), amount, note, "the plan")


def _wires(structure: Structure, needs: list[str]) -> tuple[str, str]:
    """(amount, note): the wires of a structure as far as the plan states them."""
    wanted = f"wanted: {listed(needs)}" if needs else ""
    if structure.kind in GRASPED and not structure.wires:
        return "1", wanted
    if not structure.wires and structure.supports is None:
        return "", f"{wanted}; the plan states no wires here" if wanted else ""
    held = structure.supports
    points = structure.ends
    run = dist(*points[:2]) if len(points) > 1 else 0.0
    words = "wires or mesh"
    if held and held.diameter:
        words += f", {1000 * held.diameter:g} mm"
    if held and held.spacing and structure.height and run:
        rows = max(1, floor(structure.height / held.spacing + 1e-9))
        return f"{rows} × {run:.2f} m = {rows * run:.1f} m", f"{words}, {metres(held.spacing)} apart"
    missing = [
        word
        for word, known in (("their spacing", held and held.spacing), ("the height", structure.height))
        if not known
    ]
    return (
        f"along {run:.2f} m" if run else ""
    ), f"{words}; the plan does not state {listed(missing)}" if missing else words


def _climbers(border: Border) -> Iterator[Support]:
    for planting in border.plantings:
        line, method = planting.line, planting.traits.word("climbing_method")
        if line.through:
            hosts = [border.by_key[key].title if key in border.by_key else key for key in line.through]
            yield Support(
                f"a cane or string to lead it into {listed(hosts)}",
                planting.key,
                str(len(planting.points) or 1),
                "until it holds by itself",
                "common practice",
            )
        elif line.trained or method in TIED:
            how = f"trained as {line.trained}" if line.trained else "does not climb by itself"
            yield Support(
                "soft ties, renewed as stems thicken",
                planting.key,
                "",
                how,
                "the plan" if line.trained else _from(border, planting, "climbing_method"),
            )
        elif planting.life_form == "climber" and not line.on and method != "self-clinging":
            need = NEEDS.get(method or "", "something to climb")
            yield Support(
                need, planting.key, "", "the plan names no support", _from(border, planting, "climbing_method")
            )


def _stakes(border: Border) -> Iterator[Support]:
    for planting in border.plantings:
        size = border.size(planting, SEASON)
        if planting.traits.yes("needs_staking") and not planting.supported and size and size.height.typical >= TALL:
            yield Support(
                f"stakes or hoops, {metres(0.75 * size.height.typical)} high", planting.key, str(planting.line.number),
                f"falls over without; {metres(size.height.typical)} high, three quarters of it is held (common practice)",
                _from(border, planting, "needs_staking"),
            )  # fmt: skip


def _from(border: Border, planting: Planting, trait: str) -> str:
    return f"{trait.replace('_', ' ')}: {border.source(planting, trait)}"
