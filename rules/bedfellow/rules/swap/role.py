"""What a plant does in a border, and what another in its place would not do: size, leaves in winter, months, colours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.rules.border.interest import ORGANS, PART_OF_MONTH, strength_by_month
from bedfellow.rules.words import listed, metres, months
from bedfellow.traits_db.search.asked import nearness

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
# Life forms of which one can stand for another; those that are not named stand for themselves alone. Common practice.
KIN = (("tree", "shrub", "bamboo", "subshrub"), ("perennial", "grass", "fern", "subshrub"), ("annual", "biennial"))


class Role(NamedTuple):
    """What a planting does in the tenth season.

    height, spread: m, None where not known; evergreen: None where not known; months: with something to look at besides
    evergreen leaves; colours: organ to its colours, by name; showiest: the organs that it is grown for.
    """

    life_form: str
    height: float | None
    spread: float | None
    evergreen: bool | None
    months: tuple[int, ...]
    colours: Mapping[str, tuple[str, ...]]
    showiest: tuple[str, ...]

    @property
    def wanting(self) -> tuple[str, ...]:
        """Traits without which nobody can say what it does."""
        known = {
            "life_form": self.life_form, "height": self.height, "spread": self.spread, "foliage": self.evergreen is not None,
        }  # fmt: skip
        return tuple(name for name, value in known.items() if not value)


class Loss(NamedTuple):
    """What is lost, and in words how."""

    what: str
    said: str


def role(border: Border, planting: Planting) -> Role:
    """What a planting does where it stands."""
    size, foliage = border.size(planting, SEASON), planting.traits.word("foliage")
    strength = strength_by_month(border, planting, PART_OF_MONTH, leaves=False)
    windows = {organ: window for organ in ORGANS if (window := planting.traits.window(organ)) and window.colours}
    most = max((window.strength for window in windows.values()), default=0)
    return Role(
        planting.life_form,
        size.height.typical if size else None,
        size.spread.typical if size else None,
        None if foliage is None else planting.evergreen,
        tuple(month for month, value in strength.items() if value),
        {organ: window.colours for organ, window in windows.items()},
        tuple(organ for organ, window in windows.items() if window.strength == most),
    )


def kin(life_form: str) -> tuple[str, ...]:
    """The life forms that can stand for one."""
    return tuple(dict.fromkeys(form for group in KIN if life_form in group for form in group)) or (life_form,)


def months_kept(old: Role, new: Role) -> float:
    """Share of a role's months that another keeps; 1 where it has none."""
    return len(set(old.months) & set(new.months)) / len(old.months) if old.months else 1.0


def colour_kept(old: Role, new: Role, within: float) -> float:
    """How near the colours come of what a plant is grown for: 1 the same, half just near enough, 0 another group.

    1 where nobody says what colour that is.
    """
    pairs = [nearness(old.colours[organ], new.colours.get(organ, ()), within) for organ in old.showiest]
    return max(pairs, default=1.0)


def losses(old: Role, new: Role, limits: Mapping[str, float]) -> Iterator[Loss]:
    """What of a role another does not keep, as far as both are known."""
    if old.life_form and new.life_form and new.life_form not in kin(old.life_form):
        yield Loss("life form", f"a {new.life_form}, not a {old.life_form}")
    for what, had, has in (("height", old.height, new.height), ("spread", old.spread, new.spread)):
        if had and has and round(abs(has / had - 1), 2) > limits["size"]:
            yield Loss(what, f"{metres(round(has, 2))} {_way(what)} by season {SEASON}, not {metres(round(had, 2))}")
    if old.evergreen is not None and new.evergreen is not None and old.evergreen != new.evergreen:
        yield Loss("leaves in winter", "evergreen" if new.evergreen else "not evergreen")
    if (share := months_kept(old, new)) < limits["months"]:
        gone = [month for month in old.months if month not in new.months]
        yield Loss("months", f"nothing to look at in {months(gone)} ({share:.0%} of its months kept)")
    if colour_kept(old, new, limits["colour"]) == 0:
        had_in = {organ.replace("_", " "): listed(old.colours[organ]) for organ in old.showiest}
        has_in = {
            organ.replace("_", " "): listed(new.colours.get(organ, ("of no known colour",))) for organ in old.showiest
        }
        yield Loss("colour", "; ".join(f"{organ} {has_in[organ]}, not {had}" for organ, had in had_in.items()))


def differences(old: Role, new: Role, lost: Sequence[Loss]) -> list[str]:
    """What changes with another in a plant's place, in words: what is lost first, then what is only a little otherwise."""
    what_is_lost, said = {loss.what for loss in lost}, [loss.said for loss in lost]
    for what, had, has, more, less in (
        ("height", old.height, new.height, "taller", "lower"),
        ("spread", old.spread, new.spread, "wider", "narrower"),
    ):
        if what not in what_is_lost and had and has and round(abs(has - had), 2) >= 0.05:
            said.append(f"{metres(round(abs(has - had), 2))} {more if has > had else less}")
    if new.life_form != old.life_form and "life form" not in what_is_lost:
        said.append(f"a {new.life_form}, not a {old.life_form}")
    fewer, more_months = sorted(set(old.months) - set(new.months)), sorted(set(new.months) - set(old.months))
    if fewer and "months" not in what_is_lost:
        said.append(f"nothing in {months(fewer)}")
    said += [f"something in {months(more_months)} too"] if more_months else []
    if "colour" not in what_is_lost:
        said += [
            f"{organ.replace('_', ' ')} {listed(new.colours[organ])}"
            for organ in old.showiest
            if new.colours.get(organ, old.colours[organ]) != old.colours[organ]
        ]
    return said


def _way(what: str) -> str:
    return "high" if what == "height" else "wide"
