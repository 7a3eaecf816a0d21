"""What is not known and matters: the facts that a plan leaves out or that stand on memory, by how many findings would change.

Each is tried at both ends of what it may well be, the plan judged again, and the errors and warnings compared by
fingerprint. The values tried are common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.trial import compared, found, judged
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.schema.details import Stated
from bedfellow.schema.plan import Brief, Plan
from bedfellow.schema.values import Measure

# What a garden that is not described may well be.
SITE: dict[str, tuple[str, tuple[Any, ...]]] = {
    "ph": ("the soil's pH", ((5.5, 5.5), (7.8, 7.8))),
    "moisture": ("how moist the soil is", ("well-drained", "moist")),
    "texture": ("the soil's texture", ("sandy loam", "clay")),
    "latitude": ("the latitude", (45.0, 52.0, 58.0)),
    "minimum_temperature": ("the cold of its winters", (-15.0, -5.0)),
    "hottest_month_maximum": ("the heat of its summers", (20.0, 28.0)),
    "shrinkable": ("whether the clay shrinks", (True,)),
}
SIDES = {"the south": 180.0, "the east": 90.0, "the west": 270.0}
TREE = 25.0  # degrees of elevation of a neighbour's tree or house
CHILD = 3  # years


class Doubt(NamedTuple):
    """A fact in doubt: in words, the values tried, and the findings that would come or go with one or another of them.

    unjudged: codes of the checks that could not judge for want of it.
    """

    fact: str
    tried: tuple[str, ...]
    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    unjudged: tuple[str, ...] = ()

    @property
    def changes(self) -> int:
        return len(self.new) + len(self.gone) + len(self.unjudged)


class _Trial(NamedTuple):
    """A fact, the values tried, a plan with each, and the word by which checks say that they want for it."""

    fact: str
    tried: tuple[str, ...]
    plans: tuple[Plan, ...]
    word: str = ""


def doubts(border: Border, options: Options, tell: Callable[[int], None] = lambda done: None) -> list[Doubt]:
    """Every fact in doubt, those that would change most first. tell: is told how many plans have been judged."""
    before, unjudged = judged(border, options)
    rows, done = [], 0
    tried = trials(border)
    for trial in tried:
        new: dict[tuple[str, tuple[str, ...]], Finding] = {}
        gone: dict[tuple[str, tuple[str, ...]], Finding] = {}
        for plan in trial.plans:
            outcome = compared(before, found(Border(plan, border.store), options))
            new |= {(finding.code, finding.keys): finding for finding in outcome.new}
            gone |= {(finding.code, finding.keys): finding for finding in outcome.gone}
            done += 1
            tell(done)
        waiting = sorted({entry.code for entry in unjudged if trial.word and trial.word in entry.wanting})
        rows.append(Doubt(trial.fact, trial.tried, tuple(new.values()), tuple(gone.values()), tuple(waiting)))
    words = {trial.word for trial in tried}
    rows += _wanting(border, [entry for entry in unjudged if not words & set(entry.wanting)])
    return sorted(rows, key=lambda row: (-row.changes, row.fact))


def trials(border: Border) -> list[_Trial]:
    """What would be tried, a plan for each value."""
    return [
        *_of_site(border.plan),
        *(trial for planting in border.plantings for trial in _of_plant(border.plan, planting)),
    ]


def _of_site(plan: Plan) -> Iterator[_Trial]:
    site = plan.site
    for name, (fact, values) in SITE.items():
        if getattr(site, name) is None:
            plans = tuple(replace(plan, site=replace(site, **{name: value})) for value in values)
            yield _Trial(fact, tuple(_shown(value) for value in values), plans, f"site: {name}")
    if site.faces is None and site.north is None:
        bearings = (0.0, 90.0, 270.0)
        yield _Trial(
            "which way the border faces", ("north", "east", "west"),
            tuple(replace(plan, site=replace(site, faces=bearing)) for bearing in bearings),
        )  # fmt: skip
    if not site.horizon:
        for side, bearing in SIDES.items():
            horizon = tuple((bearing + turn, TREE if abs(turn) <= 30 else 0.0) for turn in (-31.0, -30.0, 30.0, 31.0))
            shaded = replace(plan, site=replace(site, horizon=horizon))
            yield _Trial(f"a neighbour's tree or house to {side}", (f"{TREE:g}° high",), (shaded,))
    brief = plan.brief or Brief(("brief",))
    if not brief.children:
        yield _Trial(
            "whether small children play here",
            (f"{CHILD} years old",),
            (replace(plan, brief=replace(brief, children=(CHILD,))),),
        )


def _of_plant(plan: Plan, planting: Planting) -> Iterator[_Trial]:
    """Its spread, and its height, where they stand on memory: at the low and the high end."""
    for size in ("spread", "height"):
        names = [name for name in (size, f"{size}_10") if planting.traits.measure(name)]
        if not names or any(planting.traits.sourced(name) for name in names):
            continue
        plans = []
        for end in ("low", "high"):
            stated = dict(planting.line.traits)
            for name in names:
                value = getattr(planting.traits.measure(name), end)
                stated[name] = Stated(planting.path, Measure(value, value, value))
            lines = tuple(replace(line, traits=stated) if line is planting.line else line for line in plan.lines)
            plans.append(replace(plan, lines=lines))
        measure = planting.traits.measure(size)
        assert measure is not None
        yield _Trial(f"the {size} of {planting.title}", (f"{measure.low:g} m", f"{measure.high:g} m"), tuple(plans))


def _wanting(border: Border, unjudged: Sequence[Unjudged]) -> Iterator[Doubt]:
    """What is not known at all, with the checks that wait for it."""
    codes: dict[tuple[str, str], set[str]] = {}
    for entry in unjudged:
        title = border.by_key[entry.key].title if entry.key in border.by_key else entry.key
        for word in entry.wanting:
            codes.setdefault((title, word), set()).add(entry.code)
    for (title, word), waiting in codes.items():
        whole = word.replace("_", " ")
        _, item, fact = whole.partition(": ")  # an item of its line, as 'retained: protected', or a trait
        named = f"{title}: {fact}" if item else f"the {whole} of {title}"
        yield Doubt(named if title else whole, (), (), (), tuple(sorted(waiting)))


def _shown(value: Any) -> str:
    if isinstance(value, tuple):
        return f"{value[0]:g}"
    return "yes" if value is True else f"{value:g}" if isinstance(value, float) else str(value)
