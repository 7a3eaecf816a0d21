"""Every item of the schema becomes a field, every field comes from the full plan, and nothing that is no plan breaks it."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.schema import details, kinds
from bedfellow.schema.decode import plan_from
from bedfellow.schema.items import Kind, loaded, table_of
from bedfellow.schema.place import Fault
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import Document, read_file, read_text
from bedfellow.schema.validity import faults, schema

FULL = Path(__file__).with_name("full.plan.yaml")
# Made of other items, or of the file itself.
MADE = {"path", "extra", "document", "complete", "readings", "mix", "ground", "holes", "value", "reason"}
AS_DEFINED = {
    "length": (kinds.length, kinds.level, kinds.centres),
    "point": (kinds.point, kinds.ends),
    "outline": (kinds.outline,),
    "bearing": (kinds.bearing,),
    "month": (kinds.month, kinds.word),  # an acceptance keeps the words of its end
}


def definition(rule: Mapping[str, Any]) -> str:
    """The definition that a property refers to."""
    for inner in (rule, *rule.get("allOf", ())):
        if "$ref" in inner:
            return str(inner["$ref"]).rsplit("/", 1)[1]
    return ""


def objects(rule: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """The mappings with known keys that a value may be, or be a list or mapping of."""
    name = definition(rule)
    if name:
        yield from objects(schema()["definitions"][name])
        return
    if "properties" in rule:
        yield rule
    for inner in (*rule.get("anyOf", ()), rule.get("items"), rule.get("additionalProperties")):
        if isinstance(inner, dict):
            yield from objects(inner)


def described(rule: Mapping[str, Any], cls: type) -> Iterator[tuple[str, type, Kind, Mapping[str, Any]]]:
    """(key, class, kind, rule) of every item, and of those below it."""
    forms = table_of(cls).forms
    known = set(forms) if cls is not details.Stated else {"value", "reason"}
    assert known == set(rule["properties"]), cls.__name__
    for key, (_, kind) in forms.items():
        yield key, cls, kind, rule["properties"][key]
        below = list(objects(rule["properties"][key]))
        assert bool(below) == bool(kind.of), f"{cls.__name__}: {key}"
        for inner in below:
            assert kind.of
            yield from described(inner, loaded(kind.of))


def test_every_item_of_the_schema_is_read_as_its_form_says() -> None:
    found = list(described(schema(), Plan))
    assert len(found) > 200
    for key, cls, kind, rule in found:
        name = definition(rule)
        assert kind in AS_DEFINED.get(name, (kind,)), f"{cls.__name__}: {key}"
        if rule.get("enum", [None])[0] is True:
            assert kind is kinds.yes, f"{cls.__name__}: {key}"


def test_nothing_else_is_in_the_objects() -> None:
    for cls in {cls for _, cls, _, _ in described(schema(), Plan)}:
        read = {attribute for attribute, _ in table_of(cls).forms.values()}
        assert {field.name for field in fields(cls)} - read <= MADE, cls.__name__


def within(value: Any) -> Iterator[Any]:
    """A plan's objects, each with those below it."""
    if isinstance(value, tuple):
        for entry in value:
            yield from within(entry)
    elif isinstance(value, dict):
        yield from within(tuple(value.values()))
    elif is_dataclass(value) and not isinstance(value, type):
        yield value
        for field in fields(value):
            yield from within(getattr(value, field.name))


def test_the_full_plan_fills_every_field() -> None:
    plan, found = plan_from(read_file(FULL))
    assert plan is not None and found == ()
    seen: dict[str, set[str]] = {}
    classes: set[type] = {Plan}
    for thing in within(plan):
        classes.add(type(thing))
        for field in fields(thing):
            usual = field.default_factory() if field.default_factory is not MISSING else field.default
            if getattr(thing, field.name) != usual:
                seen.setdefault(type(thing).__name__, set()).add(field.name)
    assert classes >= {cls for _, cls, _, _ in described(schema(), Plan)}
    wanting = [
        f"{c.__name__}.{f.name}" for c in classes for f in fields(c) if f.name not in seen.get(c.__name__, set())
    ]
    assert [name for name in sorted(wanting) if not name.endswith(".extra")] == []


def test_own_keys_are_kept() -> None:
    plan, found = read("brief: {x-client: [1, 2]}\nx-practice: {project: 4711}", "x-nursery: north")
    assert found == [] and plan.brief is not None
    assert (plan.extra, plan.brief.extra, plan.lines[0].extra) == (
        {"x-practice": {"project": 4711}}, {"x-client": [1, 2]}, {"x-nursery": "north"},
    )  # fmt: skip


def read(more: str = "", line: str = "", site: str = "latitude: 51.6") -> tuple[Plan, list[Fault]]:
    """A small plan with more at its end, more in its line of plants, or another site."""
    document = read_text(
        f"format: 1\nsite: {{{site}}}\nborder: {{outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}}\n"
        f"plants:\n- {{key: GeM, name: Geranium macrorrhizum{line and ', ' + line}}}\n{more}\n",
        "x",
    )
    found = faults(document)
    plan, misplaced = plan_from(document, frozenset(fault.path for fault in found))
    assert plan is not None
    return plan, [*document.faults, *found, *misplaced]


BOW = "[[0, 0], [2, 2], [2, 0], [0, 2]]"


@pytest.mark.parametrize(
    ("more", "path", "words"),
    [
        (f"soil_areas: [{{kind: raised, outline: {BOW}}}]", ("soil_areas", 0, "outline"), "crosses itself"),
        (f"surfaces: [{{kind: paving, outline: {BOW}}}]", ("surfaces", 0, "outline"), "crosses itself"),
        (f"surfaces: [{{kind: drive, splay: {{outline: {BOW}}}}}]", ("surfaces", 0, "splay", "outline"), "crosses itself"),
        (f"mixes: [{{outline: {BOW}, mingled: [{{name: Ajuga reptans}}]}}]", ("mixes", 0, "outline"), "crosses itself"),
        ("soil_areas: [{kind: raised, outline: [[0, 0], [1, 1], [2, 2]]}]", ("soil_areas", 0, "outline"), "no area"),
        ("soil_areas: [{kind: raised, outline: [[0, 0], [1, 0], [1, .nan]]}]", ("soil_areas", 0, "outline", 2, 1), "number"),
        ("soil_areas: [{kind: grit, outline: [[0, 0], [1, 0], [1, 1]], depth: -10 cm}]", ("soil_areas", 0, "depth"), "below 0"),
        ("surfaces: [{kind: path, from: [0, 0], to: [1, 0], width: -1}]", ("surfaces", 0, "width"), "below 0"),
        ("services: [{kind: drain, at: [0, 0], depth: -0.1}]", ("services", 0, "depth"), "below 0"),
        ("viewing: [{side: front, eye: -1.6}]", ("viewing", 0, "eye"), "below 0"),
        ("structures: [{kind: wall, thickness: -2 in}]", ("structures", 0, "thickness"), "below 0"),
        ("structures: [{kind: wall, windows: [{from: [0, 0], to: [1, 0], sill: -1}]}]", ("structures", 0, "windows", 0, "sill"), "below 0"),
        ("structures: [{kind: wall, air_bricks: [[0, 2000 km]]}]", ("structures", 0, "air_bricks", 0, 1), "no length"),
        ("boundaries: [{from: [0, .inf], to: [1, 1]}]", ("boundaries", 0, "from", 1), "number"),
        ("brief: {budget: .nan}", ("brief", "budget"), "number"),
        ("mulch: {depth: -5 cm}", ("mulch", "depth"), "below 0"),
        ("retained: [{name: Quercus robur, at: [0, 0], crown: [1, 2, 3, -4]}]", ("retained", 0, "crown", 3), "below 0"),
    ],
)  # fmt: skip
def test_geometry_that_cannot_be_is_told_at_its_place(more: str, path: tuple[Any, ...], words: str) -> None:
    plan, found = read(more)
    assert [(fault.code, fault.path) for fault in found] == [("PLAN-03", path)]
    assert words in found[0].message and found[0].span is not None and found[0].span.start_line == 6
    assert [line.key for line in plan.lines] == ["GeM"] and not plan.complete


@pytest.mark.parametrize(
    ("line", "site", "path", "words"),
    [
        ("out: whenever", "", ("plants", 0, "out"), "day of the year"),
        ("delivery: 2026-02-30", "", ("plants", 0, "delivery"), "no date"),
        ("", "first_frost: 31-31", ("site", "first_frost"), "day of the year"),
        ("", "slope: steep", ("site", "slope"), "no slope"),
    ],
)
def test_a_measure_that_is_none_is_told_in_words(line: str, site: str, path: tuple[Any, ...], words: str) -> None:
    plan, found = read(line=line, site=site or "latitude: 51.6")
    assert [(fault.code, fault.path) for fault in found] == [("PLAN-02", path)] and words in found[0].message
    assert plan.lines[0].key == "GeM"


def test_a_mapping_keeps_what_is_right_in_it() -> None:
    plan, found = read(
        "brief: {pets: [cat], childen: [3]}\nmulch: {depth: thick, material: bark}", site="latitude: 51, ph: acid"
    )
    assert {fault.code for fault in found} == {"PLAN-02"} and len(found) == 3
    assert plan.brief is not None and plan.brief.pets == ("cat",) and plan.mulch is not None
    assert (plan.mulch.depth, plan.mulch.material, plan.site.latitude, plan.site.ph) == (None, "bark", 51, None)


def test_several_hosts() -> None:
    plan, found = read(line="on: [F1, P1], through: OsB")
    assert found == [] and (plan.lines[0].on, plan.lines[0].through) == (("F1", "P1"), ("OsB",))


def test_days_and_sizes() -> None:
    plan, found = read(line="out: late May, supplied: 40-60 cm 3 L", site="first_frost: 10-25")
    assert found == []
    assert (plan.lines[0].out, plan.site.first_frost) == (145, 298)  # 25 May and 25 October of a common year
    assert plan.lines[0].supplied == ("40-60 cm 3 L", 3.0, (0.4, 0.6))


# By Kabała et al. 2016, 5 in KCl is -1.95 + 11.58 x 0.69897 = 6.144 in water, and 7 is -1.95 + 11.58 x 0.84510 = 7.836.
@pytest.mark.parametrize(
    ("site", "expected"),
    [
        ("ph: 6.5", (6.5, 6.5)),
        ("ph: [7, 6.5], ph_measured_in: water", (6.5, 7.0)),
        ("ph: 6, ph_measured_in: CaCl2", (6.5, 7.0)),
        ("ph: [5, 6], ph_measured_in: CaCl2", (5.5, 7.0)),
        ("ph: 5, ph_measured_in: KCl", (6.14, 6.14)),
        ("ph: [5, 7], ph_measured_in: KCl", (6.14, 7.84)),
        ("samples: [{ph: 6.1}, {ph: 7.2}, {texture: loam}]", (6.1, 7.2)),
        ("ph: 6.5, samples: [{ph: 6.1}, {ph: 7.2}]", (6.5, 6.5)),
        ("samples: [{ph: 6}, {ph: 6.4}], ph_measured_in: CaCl2", (6.5, 7.4)),
        ("samples: [{texture: loam}]", None),
    ],
)
def test_reaction_in_water(site: str, expected: tuple[float, float] | None) -> None:
    plan, found = read(site=site)
    assert found == [] and plan.site.ph == expected


def test_what_was_read_is_told() -> None:
    plan, _ = read("mulch: {depth: 2 in}", "at: [6 ft, 1 m], clear_stem: 60 cm, depth: 0.1")
    assert [(reading.path, reading.text) for reading in plan.readings] == [
        (("plants", 0, "at", 0), "6 ft"), (("plants", 0, "clear_stem"), "60 cm"), (("mulch", "depth"), "2 in"),
    ]  # fmt: skip
    assert [reading.metres for reading in plan.readings] == pytest.approx([1.8288, 0.6, 0.0508])


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    for step, value in data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ():
        yield from places(value, (*path, step))


PLACES = [path for path in places(read_file(FULL).data) if path]
SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-10, 10**30)
    | st.floats()
    | st.sampled_from(["", "x", "1 ft", "N", "2026-10"])
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["at", "key", "x-a"]), inner, max_size=2)
    ),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(PLACES), VALUES), min_size=1, max_size=4))
def test_what_the_schema_did_not_tell_breaks_nothing(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    """Of very many faults only the first are told, so that a wrong form may come through."""
    data = copy.deepcopy(read_file(FULL).data)
    for path, value in changes:
        holder = data
        try:
            for step in path[:-1]:
                holder = holder[step]
            holder[path[-1]] = value
        except (KeyError, IndexError, TypeError):
            continue
    plan, _ = plan_from(Document("x", "", data, complete=True))
    if plan is not None:
        assert all(isinstance(line.number, int) for line in plan.lines)
