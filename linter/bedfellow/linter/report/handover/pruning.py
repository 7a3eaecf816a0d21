"""How a plant is pruned or cut back and when: as the plan says, else as its traits and common practice have it.

Where the plan is silent the times and ways are common practice, and say so. SUMMER_PRUNED is from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover.times import month_at
from bedfellow.rules.words import metres
from bedfellow.schema.values import Window

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.details import Task

PRACTICE = "common practice"
CUTS = ("cut", "prun", "clip", "shear", "coppic", "pollard", "trim")
NOT_CUTS = ("edge", "lawn", "grass path")
SUMMER_PRUNED = ("Prunus", "Juglans", "Acer", "Betula", "Vitis")
LATE_WINTER, EARLY_SPRING, SPRING, SUMMER = 2, 3, 4, 7  # months in the north
BY = 6  # what has flowered by June flowers on last year's wood: common practice
REACH = 2.0  # m, from the ground: common practice
STUBS = 0.1  # m of a grass or perennial left: common practice
HARD = 0.3  # m of a clematis of group 3: common practice
GROUPS = {
    "1": "take out dead and tangled stems once it has flowered; nothing else is needed (pruning group 1)",
    "2": "take out dead stems and shorten the rest to the highest strong buds (pruning group 2)",
    "3": "cut all stems down to a strong pair of buds, {left} above the ground (pruning group 3)",
}


@dataclass(frozen=True, slots=True)
class Pruned:
    """months: 1 to 12, in which it is done; first: season in which it is done first; every: years; height and width kept in
    m, where the plan keeps it to a size; low: all of it is done from the ground; basis: where it comes from.
    """

    how: str
    months: tuple[int, ...]
    basis: str
    first: int = 2
    every: int = 1
    height: float | None = None
    width: float | None = None
    low: bool = False


def own_tasks(border: Border, planting: Planting) -> Iterator[Task]:
    """The plan's tasks that cut this planting."""
    for task in border.plan.tasks:
        words = task.task.lower()
        if planting.key in task.plants and any(cut in words for cut in CUTS) and not any(n in words for n in NOT_CUTS):
            yield task


def pruned(border: Border, planting: Planting) -> tuple[Pruned, ...]:
    """How it is pruned: all that its line states; else by its traits, unless a task of the plan has it cut."""
    stated = tuple(_stated(border, planting))
    if stated or any(own_tasks(border, planting)):
        return stated
    found = _by_traits(border, planting)
    return (found,) if found else ()


def _stated(border: Border, planting: Planting) -> Iterator[Pruned]:
    line = planting.line
    for kept, word in ((line.clipped, "clip"), (line.pruned_to, "prune")):
        if kept:
            sizes = [f"{metres(size)} {way}" for size, way in ((kept.height, "high"), (kept.width, "wide")) if size]
            how = f"{word} to {' and '.join(sizes)}" if sizes else word
            months = kept.months or (_after_flower(border, planting) or border.month_here(SUMMER),)
            basis = "the plan" if kept.months else f"the plan; the month is {PRACTICE}"
            low = kept.height is not None and kept.height <= REACH
            yield Pruned(how, months, basis, max(1, border.kept_from(planting) or 1), 1, kept.height, kept.width, low)
    cut = border.cut(planting)
    if any(own_tasks(border, planting)):
        return  # the plan says itself how it is cut down
    if cut:
        word = "coppice: cut all stems" if line.coppiced else "cut back all stems"
        stated = line.cut_back and line.cut_back.month
        basis = "the plan" if stated else f"the plan; the month is {PRACTICE}"
        # The border cuts first in the season after so many (`sizes.Cut`).
        yield Pruned(
            f"{word} to {metres(cut.to)}", (month_at(cut.day),), basis, cut.every + 1, cut.every, low=cut.to <= REACH
        )
    elif line.cut_back:  # herbaceous: nothing of its size hangs on it
        back = line.cut_back
        how = f"cut down to {metres(back.to or STUBS)}"
        basis = "the plan" if back.month else f"the plan; the month is {PRACTICE}"
        yield Pruned(how, (back.month or border.month_here(LATE_WINTER),), basis, 2, back.every or 1)


def _by_traits(border: Border, planting: Planting) -> Pruned | None:
    form, traits = planting.life_form, planting.traits
    group = traits.word("pruning_group")
    if group in GROUPS:
        low = traits.measure("pruned_height")
        month = _after_flower(border, planting) if group == "1" else border.month_here(LATE_WINTER)
        how = GROUPS[group].format(left=metres(low.typical if low and low.typical < 1 else HARD))
        basis = f"pruning group: {border.source(planting, 'pruning_group')}; {PRACTICE}"
        return Pruned(how, (month or border.month_here(6),), basis, 1, low=group == "3")
    if planting.temporary or form in ("annual", "biennial"):
        return None
    match form:
        case "tree" | "shrub" | "climber" | "subshrub":
            return _woody(border, planting)
        case "perennial" | "grass":
            return _down(border, planting)
        case "fern":
            month = border.month_here(EARLY_SPRING)
            return Pruned("take off last year's fronds before the new ones unroll", (month,), PRACTICE)
        case "bamboo":
            return Pruned("take out the oldest and dead canes at the ground", (border.month_here(SPRING),), PRACTICE, 3)
        case "bulb":
            return _leaves(border, planting)
    return None


def _woody(border: Border, planting: Planting) -> Pruned:
    traits, flower = planting.traits, border.window(planting, "flower")
    genus = traits.name.partition(" ")[0]
    early = _early(border, flower)
    months: tuple[int, ...]
    if genus in SUMMER_PRUNED:
        months, why = (border.month_here(SUMMER),), f"{PRACTICE}; {genus} in summer from memory"
    elif planting.life_form == "subshrub":
        month = _after_flower(border, planting) or border.month_here(8)
        old = traits.yes("breaks_from_old_wood")
        how = "shear off the dead flowers with a little of the young growth" + ("" if old else ", never into bare wood")
        return Pruned(how, (month,), _with(border, planting, "breaks_from_old_wood"), 1)
    elif early:
        months, why = (_after_flower(border, planting) or border.month_here(BY),), _with(border, planting, "flower")
    elif planting.evergreen:
        months, why = (border.month_here(5),), PRACTICE
    elif flower is None and planting.life_form != "tree":
        months, why = (), f"{PRACTICE}; when it flowers is not known, and so neither when it is pruned"
    else:
        months, why = (border.month_here(EARLY_SPRING),), PRACTICE
    how = "take out dead, damaged and crossing wood"
    if planting.life_form == "tree":
        how += ", and no more"
    elif traits.yes("breaks_from_old_wood") is False:
        how += "; do not cut into bare old wood, which does not shoot again"
        why += f"; breaks from old wood: {border.source(planting, 'breaks_from_old_wood')}"
    elif not planting.evergreen:
        how += "; of an old one a few of the oldest stems at the ground" + (" once it has flowered" if early else "")
    return Pruned(how, months, why)


def _down(border: Border, planting: Planting) -> Pruned | None:
    """Herbaceous: dead stems stand as long as they are worth it."""
    if planting.traits.word("foliage") in ("evergreen", "semi-evergreen", "wintergreen"):
        how = "comb out dead leaves" if planting.life_form == "grass" else "take off dead and spotted leaves"
        return Pruned(f"{how}; do not cut it down", (border.month_here(EARLY_SPRING),), PRACTICE)
    if planting.traits.word("foliage") == "summer-dormant":
        return _leaves(border, planting)
    stems = border.window(planting, "standing_stems")
    if stems:
        how = f"cut the dead stems down to {metres(STUBS)} once they no longer stand well"
        return Pruned(how, (month_at(stems.end.typical),), _with(border, planting, "standing_stems"), 1)
    how = f"cut last year's growth down to {metres(STUBS)} before it starts again"
    return Pruned(how, (border.month_here(LATE_WINTER),), PRACTICE)


def _leaves(border: Border, planting: Planting) -> Pruned | None:
    gone = border.window(planting, "die_back")
    if gone is None:
        return None
    how = "take off the leaves once they are yellow and lie down, never before, and do not knot them"
    return Pruned(how, (month_at(gone.end.typical),), _with(border, planting, "die_back"), 1)


def _early(border: Border, flower: Window | None) -> bool:
    """It flowers in the first half of the year and is over by early summer."""
    return flower is not None and border.in_months(flower.end.typical, 1, BY)


def _after_flower(border: Border, planting: Planting) -> int | None:
    """The month after which its flowers are over: the one they end in."""
    flower = border.window(planting, "flower")
    return month_at(flower.end.typical) if flower else None


def _with(border: Border, planting: Planting, trait: str) -> str:
    if planting.traits.fact(trait) is None:
        return PRACTICE
    return f"{trait.replace('_', ' ')}: {border.source(planting, trait)}; {PRACTICE}"
