"""What could stand in a plant's place: the plants of a store that keep its role there, each tried in the plan.

role ─→ asked of the store ─→ what each would keep and lose ─→ the best tried ─→ good, near or refused
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import exp, log
from typing import Any, NamedTuple

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.gap import labels, varied, wanted
from bedfellow.linter.repair.trial import Outcome, found, trial
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.swap.role import SEASON, Loss, Role, colour_kept, kin, losses, months_kept, role
from bedfellow.schema.colours import names
from bedfellow.schema.plan import Line
from bedfellow.traits_db.index import Condition
from bedfellow.traits_db.search.asked import Asked, asked, nearness
from bedfellow.traits_db.search.search import Candidate, candidates

# Common practice: full-grown, a substitute is looked at from half to twice the size, and may lose one thing at most.
SMALLEST, LARGEST, MOST_LOST = 0.5, 2.0, 1
NEARLY = 1.5  # times the size, either way, that a herbaceous plant of the same role may have on other ground
TRIED = 3  # times as many as are wanted are tried


class Substitute(NamedTuple):
    """A plant in the place of another, what it would lose of its role, and what judging the plan with it found.

    fit: 0 to 1, the mean of how near it comes in height, spread, months, colour, life form and habit, and of how it meets
    what the place asks. known: the border has it already.
    """

    candidate: Candidate
    role: Role
    lost: tuple[Loss, ...]
    known: bool
    fit: float
    outcome: Outcome


class Substitutes(NamedTuple):
    """good: keep the whole role, best first; near: lose one thing of it; refused: would bring findings, best first.

    left: how many more were not tried.
    """

    role: Role
    light: tuple[str, ...]
    good: tuple[Substitute, ...]
    near: tuple[Substitute, ...]
    refused: tuple[Substitute, ...]
    left: int


def substitutes(
    border: Border, planting: Planting, must: Sequence[Asked], rather: Sequence[Asked], most: int, options: Options,
    tell: Callable[[int], None] = lambda done: None,
) -> Substitutes:  # fmt: skip
    """The plants that would best stand in the place of a planting. tell: is told how many have been tried.

    Raises ValueError, in words, where too little is known of the plant itself.
    """
    old = role(border, planting)
    if old.wanting:
        raise ValueError(f"of {planting.title} it is not known: {', '.join(old.wanting).replace('_', ' ')}")
    limits = options.settings.limits_of(options.settings.checks["SWAP-02"])
    light, before = _light(border, planting), found(border, options)
    asks, besides = [*_asks(border, planting, old, light), *must], _whole(planting, old, limits)
    seen = {planting.traits.name}
    good: list[Substitute] = []
    refused: list[Substitute] = []

    def suited(conditions: Sequence[Condition]) -> list[Substitute]:
        found = candidates(border.store, asks, rather, besides=conditions)
        fresh = [candidate for candidate in found if candidate.traits.name not in seen]
        seen.update(candidate.traits.name for candidate in fresh)
        return list(_suited(border, planting, old, fresh, limits))

    def tried(some: Sequence[Substitute]) -> int:
        """How many of them were tried until there were enough."""
        ranked = varied(some, lambda one: (one.candidate.traits.name, one.fit))
        for number, one in enumerate(ranked):
            if len(good) == most or len(good) + len(refused) == TRIED * most:
                return number
            outcome = trial(border, swapped(border, planting, one.candidate.traits.name), before, options)
            (refused if outcome.new else good).append(one._replace(outcome=outcome))
            tell(len(good) + len(refused))
        return len(ranked)

    some = suited(besides)
    whole, near = [one for one in some if not one.lost], [one for one in some if one.lost]
    left = len(whole) - tried(whole)
    # What loses one thing is met by all conditions but one; where enough keep the whole role, nobody need look.
    if len(good) < most:
        near += [one for n in range(len(besides)) for one in suited(besides[:n] + besides[n + 1 :])]
        left += len(near) - tried(near)
    return Substitutes(
        old,
        light,
        tuple(one for one in good if not one.lost),
        tuple(one for one in good if one.lost),
        tuple(refused),
        left,
    )


def swapped(border: Border, planting: Planting, name: str) -> tuple[Line, ...]:
    """The lines of the plan with another plant in one of them."""
    return tuple(in_place(line, name) if line is planting.line else line for line in border.plan.lines)


def in_place(line: Line, name: str) -> Line:
    """A line with another plant: what it states of the traits of its own is left out."""
    return replace(line, name=name, traits={}, trade_name=None)


def _light(border: Border, planting: Planting) -> tuple[str, ...]:
    """The words of plant labels that fit where it stands; none where light is not judged."""
    if border.plan.site.latitude is None or planting.supported or planting.temporary or planting.life_form == "climber":
        return ()
    lit = border.light([planting], SEASON).get(planting.number)
    return labels(lit[0], lit[1], lit[3]) if lit else ()


def _asks(border: Border, planting: Planting, old: Role, light: Sequence[str]) -> list[Asked]:
    cold = None if planting.temporary else border.plan.site.minimum_temperature
    soil = border.soil(planting)
    sizes = [
        asked(f"{name} {full.typical * SMALLEST:g} m to {full.typical * LARGEST:g} m")
        for name in ("height", "spread")
        if (full := planting.traits.measure(name))
    ]
    return [
        *wanted(soil.ph, soil.moisture, cold, light), asked(f"life form {' or '.join(kin(old.life_form))}"), *sizes,
        *_cut(planting),
    ]  # fmt: skip


def _cut(planting: Planting) -> Iterator[Asked]:
    """What the plan's cutting asks of a plant, as far as the one that it is meant for is known to bear it."""
    if planting.clipped and planting.traits.yes("breaks_from_old_wood"):
        yield asked("breaks from old wood yes")
    response = planting.traits.step("coppice_response")
    if (planting.line.coppiced or planting.line.cut_back) and response and not planting.herbaceous:
        yield asked(f"coppice response at least {response}")


def _whole(planting: Planting, old: Role, limits: Mapping[str, Any]) -> list[Condition]:
    """What the store can be asked, at once for all its plants, of one that keeps the whole role."""
    conditions = [Condition("foliage", words=("evergreen",), refused=not old.evergreen)]
    if len(old.showiest) == 1:
        (organ,) = old.showiest
        near = tuple(name for name in names() if nearness(old.colours[organ], (name,), limits["colour"]))
        conditions.append(Condition(organ, words=near))
    if planting.herbaceous:
        sizes = ((name, planting.traits.measure(name)) for name in ("height", "spread"))
        conditions += [Condition(n, full.typical / NEARLY, full.typical * NEARLY) for n, full in sizes if full]
    return conditions


def _suited(
    border: Border, planting: Planting, old: Role, candidates: Sequence[Candidate], limits: Mapping[str, Any]
) -> Iterator[Substitute]:
    """The candidates of which enough is known and that lose no more than one thing."""
    there = {one.traits.name for one in border.plantings}
    lines = tuple(in_place(planting.line, candidate.traits.name) for candidate in candidates)
    alone = Border(replace(border.plan, lines=lines), border.store)  # asked only for what each is by itself
    for candidate, one in zip(candidates, alone.plantings, strict=True):
        new = role(alone, one)
        if new.wanting:
            continue
        lost = tuple(losses(old, new, limits))
        if len(lost) > MOST_LOST or (not alone.present(one, SEASON) and border.present(planting, SEASON)):
            continue
        yield Substitute(
            candidate,
            new,
            lost,
            candidate.traits.name in there,
            _fit(candidate, old, new, planting, one, limits),
            Outcome((), ()),
        )


def _fit(
    candidate: Candidate, old: Role, new: Role, planting: Planting, one: Planting, limits: Mapping[str, Any]
) -> float:
    alike = [
        exp(-abs(log(has / had)))
        for had, has in ((old.height, new.height), (old.spread, new.spread))
        if had is not None and has is not None
    ]
    same = [float(planting.traits.word(name) == one.traits.word(name)) for name in ("life_form", "habit")]
    parts = [*alike, *same, months_kept(old, new), colour_kept(old, new, limits["colour"]), candidate.score]
    return round(sum(parts) / len(parts), 3)
