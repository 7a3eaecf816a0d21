"""A planting: one line of the plan with what is known of its plant, and where its members stand."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from math import dist, inf
from typing import Any

from bedfellow.rules.border.roots import root_protection_radius
from bedfellow.schema.geometry import Point, staggered_grid
from bedfellow.schema.place import Path
from bedfellow.schema.plan import Line
from bedfellow.schema.units import Supplied
from bedfellow.traits_db.facts import Fact, TaxonTraits

TREE = 4.0  # m: as tall as a tree
WOODY = frozenset({"tree", "shrub", "climber", "bamboo"})
RISES_YEARLY = frozenset({"perennial", "grass", "fern", "bulb", "annual", "biennial"})


@dataclass(frozen=True, slots=True)
class Planting:
    """One subject: a single plant, a group or a drift.

    line: the line of the plan as decoded; points: (x, y) in metres, one a member; number: its place in the plan;
    ordered: the size that the schedule has of it; kept: the plan's entry, of a plant that was there before and stays.
    """

    number: int
    line: Any
    traits: TaxonTraits
    points: tuple[tuple[float, float], ...]
    ordered: Supplied | None = None
    kept: Any = None
    life_form: str = field(init=False)
    evergreen: bool = field(init=False)
    temporary: bool = field(init=False)

    def __post_init__(self) -> None:
        # Asked by every check: found once.
        life_form, line = self.traits.word("life_form") or "", self.line
        leaves = bool(line.fills or line.until or line.out or line.grown_as == "annual")
        object.__setattr__(self, "life_form", life_form)
        object.__setattr__(self, "evergreen", self.traits.word("foliage") == "evergreen")
        object.__setattr__(self, "temporary", leaves or life_form == "annual")

    @property
    def key(self) -> str:
        return str(self.line.key)

    @property
    def path(self) -> Path:
        return self.line.path  # type: ignore[no-any-return]

    @property
    def place(self) -> Path:
        """Where the plan says where it stands; its line where that says so by an outline."""
        return (*self.path, "at") if self.line.at else self.path

    @property
    def title(self) -> str:
        """Full name and key, as messages say it."""
        return f"{self.traits.name} ({self.key})" if self.key != self.traits.name else self.traits.name

    @property
    def supplied(self) -> Supplied | None:
        """The size as bought, by its line or the schedule."""
        return self.line.supplied or self.ordered

    @property
    def woody(self) -> bool:
        return self.life_form in WOODY

    @property
    def herbaceous(self) -> bool:
        """Without lasting wood; a plant whose life form is not known counts among them."""
        return not self.woody and self.life_form != "subshrub"

    @property
    def flowerless(self) -> bool:
        """Not grown for flowers, so that nothing is missing where none are recorded."""
        return self.life_form in ("fern", "bamboo")

    @property
    def rises_yearly(self) -> bool:
        return self.life_form in RISES_YEARLY

    @property
    def supported(self) -> bool:
        """Grows on a structure or through a host, so its crown is not its own."""
        return bool(self.line.on or self.line.through or self.line.trained)

    def distance_to(self, other: Planting) -> float:
        """Metres between the nearest members; infinite where one has no place in the plan."""
        return min((dist(here, there) for here in self.points for there in other.points), default=inf)

    def nearest_to(self, point: tuple[float, float]) -> tuple[float, float]:
        """Where its member nearest to a place stands; it has one or more."""
        return min(self.points, key=lambda member: dist(member, point))

    @property
    def reach(self) -> float | None:
        """Of a plant that stays, radius of its crown now in m: the mean where the plan gives one for each side."""
        radii = self.kept.crown if self.kept else None
        return sum(radii) / len(radii) if radii else None

    @property
    def root_radius(self) -> float | None:
        """Of a plant that stays, radius in m of its root protection area; None where the plan gives no stem."""
        return root_protection_radius(self.kept.stems) if self.kept and self.kept.stems else None

    @property
    def is_tree(self) -> bool:
        """Known as a tree; of one that stays and is not known, as tall as one."""
        if self.kept and not self.life_form:
            return bool((self.kept.height or 0.0) >= TREE)
        return self.life_form == "tree"

    @property
    def clipped(self) -> bool:
        return bool(self.line.clipped or self.line.pruned_to or self.line.coppiced or self.line.hedge)


def members(line: Any) -> tuple[tuple[float, float], ...]:
    """Where the members of a line stand: as stated, or on a staggered grid over its net ground fixed by the line's key."""
    if line.at:
        return tuple(line.at)
    if not line.outline:
        return ()
    return _on_grid(line.outline, line.number, line.key, line.holes, line.ground)


@lru_cache(maxsize=512)
def _on_grid(
    outline: tuple[Point, ...], number: int, key: str, holes: tuple[tuple[Point, ...], ...], ground: float | None
) -> tuple[Point, ...]:
    """Kept, as a plan is grown again with each change that is tried on it."""
    return staggered_grid(outline, number, key, holes, ground)


def line_of(plant: Any) -> Line:
    """A retained plant as a line of its own."""
    return Line(plant.path, plant.name, plant.key, (plant.at,), clear_stem=plant.clear_stem)


def unknown(name: str) -> TaxonTraits:
    """A plant of which only the name is known."""
    return TaxonTraits(name, "", "", {})


def stated(line: Any) -> dict[str, Fact]:
    """What the plan itself says of its plant: it counts as sourced, and stands before every record."""
    return {name: Fact(said.value, "plan", "the plan", "published", "high") for name, said in line.traits.items()}
