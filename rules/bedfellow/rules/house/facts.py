"""What a house rule can ask about: a border as plain data, every number a fraction.

each: plant    plant                      each: month    month: number, name, frontage, cover, plants
each: pair     first, second, distance    each: plan     plants
and with each of them site, brief, plan, limits

A plant is key, name, title, life_form, woody, evergreen, temporary, clipped, supported, quantity, x, y, height, spread, top,
base, months (of interest), soil, light (june, midday, march, share), distance_to (metres by kind of structure or surface, 10 km where there is none),
traits, line (what its line of the plan says; x-any-key as line.x_any_key). What is not known is absent: has(plant.light).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cache
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.interest import PART_OF_MONTH, of_interest
from bedfellow.schema.geometry import distance_to
from bedfellow.schema.validity import schema
from bedfellow.schema.values import MONTHS, Hazard, Listing, Measure, Tolerance, Value, Window, middle_of, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.place import Path

PLANT = (
    "key", "name", "title", "life_form", "woody", "evergreen", "temporary", "clipped", "supported", "quantity", "x", "y", "height",
    "spread", "top", "base", "months", "soil", "light", "distance_to", "traits", "line",
)  # fmt: skip
NAMES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "plant": {"plant": PLANT},
    "pair": {"first": PLANT, "second": PLANT, "distance": ()},
    "month": {"month": ("number", "name", "frontage", "cover", "plants")},
    "plan": {"plants": ()},
}
ALWAYS = ("site", "brief", "plan", "limits")
FAR = 10_000.0  # m, where there is none


class Subject:
    """What is judged at once: its facts, the keys that a finding names, where it stands, and what tells it apart."""

    __slots__ = ("apart", "at", "facts", "keys", "titles")

    def __init__(
        self,
        facts: dict[str, Any],
        keys: tuple[str, ...],
        at: Path,
        titles: dict[str, str],
        apart: tuple[str, ...] = (),
    ) -> None:
        self.facts, self.keys, self.at, self.titles, self.apart = facts, keys, at, titles, apart


def subjects(border: Border, each: str, season: int, words: Collection[str]) -> Iterator[Subject]:
    """Everything of a kind in a border, grown to a season. words: names that are asked for; what costs is worked out only then."""
    known = _Facts(border, season, words)
    match each:
        case "plant":
            for planting in border.plantings:
                yield Subject(
                    {"plant": known.plant(planting)}, (planting.key,), planting.path, {"plant": planting.title}
                )
        case "pair":
            for pair in border.neighbours(season):
                a, b = pair.first, pair.second
                facts = {"first": known.plant(a), "second": known.plant(b), "distance": round(pair.distance, 3)}
                yield Subject(facts, tuple(sorted((a.key, b.key))), b.path, {"first": a.title, "second": b.title})
        case "month":
            for month, holding in of_interest(border, PART_OF_MONTH).items():
                facts = {"month": known.month(month, holding)}
                yield Subject(facts, (), ("plants",), {"month": MONTHS[month - 1]}, (f"month-{month:02d}",))
        case _:
            yield Subject({"plants": [known.plant(planting) for planting in border.plantings]}, (), ("plants",), {})


class _Facts:
    def __init__(self, border: Border, season: int, words: Collection[str]) -> None:
        self.border, self.season, self.words = border, season, words
        self._plants: dict[int, dict[str, Any]] = {}
        self._light: dict[int, tuple[float, float, float, float]] | None = None
        self._months: dict[int, list[float]] | None = None

    def plant(self, planting: Planting) -> dict[str, Any]:
        if planting.number not in self._plants:
            self._plants[planting.number] = self._plant(planting)
        return self._plants[planting.number]

    def _plant(self, planting: Planting) -> dict[str, Any]:
        border, line = self.border, planting.line
        facts: dict[str, Any] = {
            "key": planting.key, "name": planting.traits.name, "title": planting.title, "life_form": planting.life_form,
            "woody": planting.woody, "evergreen": planting.evergreen, "temporary": planting.temporary, "clipped": planting.clipped,
            "supported": planting.supported, "quantity": float(len(planting.points)),
            "line": _stated(border.plan.document.data, planting.path),
        }  # fmt: skip
        if planting.points:
            facts["x"], facts["y"] = map(float, planting.points[len(planting.points) // 2])
        size, crown = border.size(planting, self.season), border.crown(planting, self.season)
        if size is not None:
            facts |= {"height": size.height.typical, "spread": size.spread.typical}
        if crown is not None:
            facts |= {"top": crown.top, "base": crown.base}
        facts["traits"] = {name: said for name in planting.traits if (said := _value(planting, name)) is not None}
        if "months" in self.words:
            facts["months"] = self._months_of(planting)
        if "soil" in self.words:
            facts["soil"] = self._soil(planting)
        if "light" in self.words and (light := self._light_of(planting)) is not None:
            facts["light"] = dict(zip(("june", "midday", "march", "share"), light, strict=True))
        if "distance_to" in self.words:
            facts["distance_to"] = self._distances(planting)
        assert line is not None
        return facts

    def month(self, month: int, holding: list[Planting]) -> dict[str, Any]:
        facts: dict[str, Any] = {
            "number": float(month), "name": MONTHS[month - 1], "plants": [self.plant(planting) for planting in holding]
        }  # fmt: skip
        if self.border.plan.borders:
            facts["frontage"] = self.border.share_of_frontage(holding, self.season)
            if "cover" in self.words:
                facts["cover"] = self.border.cover(self.season, middle_of(month))
        return facts

    def _months_of(self, planting: Planting) -> list[float]:
        if self._months is None:
            self._months = {}
            for month, holding in of_interest(self.border, PART_OF_MONTH).items():
                for one in holding:
                    self._months.setdefault(one.number, []).append(float(month))
        return self._months.get(planting.number, [])

    def _light_of(self, planting: Planting) -> tuple[float, float, float, float] | None:
        if self.border.plan.site.latitude is None:
            return None
        if self._light is None:
            self._light = self.border.light(self.border.plantings, self.season)
        return self._light.get(planting.number)

    def _soil(self, planting: Planting) -> dict[str, Any]:
        soil = self.border.soil(planting)
        facts = {"kind": soil.kind, "moisture": soil.moisture, "texture": soil.texture}
        known: dict[str, Any] = {name: value for name, value in facts.items() if value}
        return {**known, "ph": (soil.ph[0] + soil.ph[1]) / 2} if soil.ph else known

    def _distances(self, planting: Planting) -> dict[str, float]:
        nearest = dict.fromkeys(_kinds(), FAR)
        for point in planting.points:
            for structure in self.border.plan.structures:
                away = distance_to(point, structure.points, closed=len(structure.points) > 2)
                nearest[structure.kind] = min(nearest.get(structure.kind, FAR), away)
            for surface in self.border.plan.surfaces:
                nearest[surface.kind] = min(nearest.get(surface.kind, FAR), surface.distance_to(point))
        return {kind.replace(" ", "_"): round(away, 3) for kind, away in nearest.items()}


@cache
def _kinds() -> tuple[str, ...]:
    """The kinds of structures and surfaces that a plan can have."""
    properties = schema()["properties"]
    return tuple(kind for items in ("structures", "surfaces") for kind in _enum(properties[items]))


def _enum(rule: Any) -> list[str]:
    rule = rule.get("items", rule)
    if "$ref" in rule:
        rule = schema()["definitions"][rule["$ref"].rsplit("/", 1)[-1]]
    kinds: list[str] = rule["properties"]["kind"]["enum"]
    return kinds


def whole(border: Border, limits: Mapping[str, Any]) -> dict[str, Any]:
    """Facts of the plan as a whole: what it states, as it states it, with site figures as they were read."""
    data = border.plan.document.data
    site, stated = border.plan.site, numbers(data.get("site") or {})
    read = {
        "latitude": site.latitude,
        "altitude": site.altitude,
        "faces": site.faces,
        "slope": site.slope,
        "coast": site.coast,
    }
    read["ph"] = sum(site.ph) / 2 if site.ph else None
    left, front, right, back = border.box
    return {
        "site": {**stated, **{name: float(value) for name, value in read.items() if value is not None}},
        "brief": numbers(data.get("brief") or {}),
        "plan": {
            **numbers({name: value for name, value in data.items() if name == "title" or name.startswith("x-")}),
            "width": right - left, "depth": back - front, "plants": float(sum(len(p.points) for p in border.plantings)),
            "distance_across": dist((left, front), (right, back)),
        },
        "limits": numbers(dict(limits)),
    }  # fmt: skip


def numbers(value: Any) -> Any:
    """The same data with every whole number a fraction, so that all can be reckoned with, and x-any-key as x_any_key."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, int | float):
        return float(value)
    if isinstance(value, Mapping):
        return {str(key).replace("-", "_"): numbers(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [numbers(item) for item in value]
    return str(value)


def _stated(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return numbers(data) if isinstance(data, dict) else {}


def _value(planting: Planting, trait: str) -> Any:
    fact = planting.traits.fact(trait)
    return None if fact is None else _plain(fact.value)


def _plain(value: Value) -> Any:
    match value:
        case Measure():
            return value.typical
        case Tolerance(lower, upper):
            return {"from": float(lower), "to": float(upper)}
        case Window():
            start, end = round(value.start.typical), round(value.end.typical)
            months = sorted({month_of((day - 1) % 365 + 1) for day in range(start, end + 1)})
            return {
                "from": float(start), "to": float(end), "months": [float(month) for month in months],
                "strength": float(value.strength), "colours": list(value.colours),
            }  # fmt: skip
        case bool() | str():
            return value
        case int():
            return float(value)
        case _:
            return [numbers(e._asdict()) if isinstance(e, Hazard | Listing) else str(e) for e in value]
