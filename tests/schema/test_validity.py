"""The quick validator and jsonschema agree; a fault is told in words, at its place, with the nearest known word."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft7Validator, Draft202012Validator

from bedfellow.schema.reader import read_file, read_text
from bedfellow.schema.validity import MOST_FAULTS, SCHEMA, accepts, faults, schema

FULL = Path(__file__).with_name("full.plan.yaml")
SMALL = """format: 1
site: {latitude: 51.6, faces: SW}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
plants:
- {key: CoM, name: Cornus mas, at: [1.8, 1.9]}
"""
# Keywords with one meaning in draft 7 and 2020-12.
KEYWORDS = {
    "$schema", "$ref", "title", "description", "examples", "definitions", "type", "enum", "const", "anyOf", "allOf", "not",
    "properties", "patternProperties", "additionalProperties", "required", "items", "minItems", "maxItems", "uniqueItems",
    "pattern", "minLength", "maxLength", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum",
}  # fmt: skip


def full() -> Any:
    return read_file(FULL).data


def schemas(rule: Any, path: str = "plan") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema within the schema."""
    if not isinstance(rule, dict):
        return
    yield path, rule
    for keyword, value in rule.items():
        if keyword in ("properties", "patternProperties", "definitions"):
            for name, inner in value.items():
                yield from schemas(inner, f"{path}.{name}")
        elif keyword in ("anyOf", "allOf"):
            for inner in value:
                yield from schemas(inner, path)
        elif keyword in ("items", "additionalProperties", "not"):
            yield from schemas(value, f"{path}[]")


def plain(rule: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in rule or "allOf" in rule:
        rule = schema()["definitions"][rule["$ref"].rsplit("/", 1)[1]] if "$ref" in rule else rule["allOf"][0]
    return rule


def used(rule: dict[str, Any], values: list[Any], words: dict[tuple[int, str], bool]) -> None:
    """Notes for each property of a schema, by the schema's identity, whether one of the values has it."""
    rule = plain(rule)
    for branch in rule.get("anyOf", []):
        used(branch, values, words)
    for name, inner in rule.get("properties", {}).items():
        below = [value[name] for value in values if isinstance(value, dict) and name in value]
        words[id(rule), name] = bool(below) or words.get((id(rule), name), False)
        used(inner, below, words)
    if "items" in rule:
        used(rule["items"], [item for value in values if isinstance(value, list) for item in value], words)


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(schema())
    Draft7Validator.check_schema({**schema(), "$schema": "http://json-schema.org/draft-07/schema"})
    assert json.loads(SCHEMA.read_text("utf-8")) == schema()


def test_keywords_have_one_meaning() -> None:
    for path, rule in schemas(schema()):
        assert set(rule) <= KEYWORDS, path
        assert not isinstance(rule.get("items"), list), path
        assert "$ref" not in rule or set(rule) == {"$ref"}, f"{path}: draft 7 ignores what stands beside $ref"


def test_every_word_is_explained_and_strict() -> None:
    for path, rule in schemas(schema()):
        for name, inner in rule.get("properties", {}).items():
            assert inner.get("title") and inner.get("description"), f"{path}.{name}"
        if "properties" in rule:
            assert rule.get("additionalProperties") is False and "^x-" in rule["patternProperties"], path


def test_the_full_plan_uses_every_word() -> None:
    words: dict[tuple[int, str], bool] = {}
    data = full()
    used(schema(), [data, {"border": data["borders"][0]}], words)
    assert [name for (_, name), once in words.items() if not once] == []
    assert len(words) > 150


def test_plans_are_plans() -> None:
    assert read_file(FULL).faults == () and faults(read_file(FULL)) == ()
    assert faults(read_text(SMALL, "x")) == ()


def paths(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    for step, value in data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ():
        yield from paths(value, (*path, step))


PLACES = [path for path in paths(full()) if path]
OTHERS = st.sampled_from(
    [None, True, False, 0, 1, 1.0, -1, 1e9, 3.5, float("nan"), float("inf"), "", "yes", "no", "tall", "60 cm", "2 m\n", "2026-13", "2026-10",
     "SW", "GB\n", [], {}, [1], [1, 2], [[1, 2]], ["x"], {"x": 1}, {"x-y": 1}, {"value": 1, "reason": "x"}, "1:8", "x" * 600]
)  # fmt: skip


@settings(max_examples=120, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(PLACES), st.sampled_from(["put", "drop", "add"]), OTHERS), min_size=1, max_size=2
    )
)
def test_both_validators_agree(changes: list[tuple[tuple[Any, ...], str, Any]]) -> None:
    from bedfellow.schema.explain import explained

    data = full()
    for path, change, value in changes:
        holder: Any = data
        try:
            for step in path[:-1]:
                holder = holder[step]
            if change == "put":
                holder[path[-1]] = copy.deepcopy(value)
            elif change == "drop":
                del holder[path[-1]]
            elif isinstance(holder, dict):
                holder["unheard_of"] = value
        except (KeyError, IndexError, TypeError):
            continue
    told = list(explained(data, schema()))
    assert accepts(data) == (not told)
    for where, sentence, _ in told:
        assert sentence and "\n" not in sentence
        assert not where or where[0] in data or where[0] == "unheard_of"


def test_what_is_missing_is_told_with_what_it_is_for() -> None:
    (fault,) = faults(read_text(SMALL.replace("site: {latitude: 51.6, faces: SW}\n", ""), "x"))
    assert fault.message == "'site' is missing: where the garden is and what its soil and climate are"


@pytest.mark.parametrize(
    ("old", "new", "path", "marked", "words"),
    [
        ("at: [1.8, 1.9]", "att: [1.8, 1.9]", ("plants", 0, "att"), "att", "'att' is not known here; did you mean 'at'?"),
        ("at: [1.8, 1.9]", "spacing: 40 cm", ("plants", 0, "spacing"), "spacing", "did you mean 'centres'?"),
        ("at: [1.8, 1.9]", "<<: {}", ("plants", 0, "<<"), "<<", "not part of YAML 1.2"),
        ("at: [1.8, 1.9]", "at: [1.8, far]", ("plants", 0, "at", 1), "far", "m, cm, mm, km, ft or in, found 'far'"),
        ("at: [1.8, 1.9]", "at: [[1, 2], [3]]", ("plants", 0, "at", 1), "[3]", "[x, y] in metres"),
        ("at: [1.8, 1.9]", "clear_stem: tall", ("plants", 0, "clear_stem"), "tall", "found 'tall'"),
        ("at: [1.8, 1.9]", "quantity: 2.5", ("plants", 0, "quantity"), "2.5", "whole number from 1"),
        ("at: [1.8, 1.9]", "cut_back: {too: 1}", ("plants", 0, "cut_back", "too"), "too", "did you mean 'to'?"),
        ("name: Cornus mas, ", "", ("plants", 0), "{key: CoM, at: [1.8, 1.9]}", "'name' is missing"),
        ("name: Cornus mas", "name: 12", ("plants", 0, "name"), "12", "expected text, found 12; put it in quotes"),
        ("name: Cornus mas", "name: ~", ("plants", 0, "name"), "~", "found nothing; write a value"),
        ("latitude: 51.6", "latitude: 516", ("site", "latitude"), "516", "found 516"),
        ("faces: SW", "faces: south-west", ("site", "faces"), "south-west", "point of the compass"),
        ("faces: SW", "faces: SW, texture: clay loan", ("site", "texture"), "clay loan", "nearest: clay loam"),
        ("faces: SW", "faces: SW, frost_pocket: Yes", ("site", "frost_pocket"), "Yes", "yes or no, found 'Yes'; nearest: yes"),
        ("key: CoM", f"key: {'K' * 41}", ("plants", 0, "key"), "K" * 41, "expected short key of a line, 1 to 40 letters, found"),
        ("format: 1", "format: 2", ("format",), "2", "format 2, which is newer than this program; it reads format 1"),
        ("format: 1", "format: one", ("format",), "one", "expected 1, found 'one'"),
        ("format: 1", "format: 1\nplanted: 2026-13", ("planted",), "2026-13", "found '2026-13'"),
    ],
)  # fmt: skip
def test_one_fault_in_words(old: str, new: str, path: tuple[str | int, ...], marked: str, words: str) -> None:
    document = read_text(SMALL.replace(old, new), "x")
    (fault,) = faults(document)
    assert fault.code == "PLAN-02" and fault.path == path
    assert fault.span is not None and fault.span.start_line == fault.span.end_line
    assert document.line(fault.span.start_line)[fault.span.start_column - 1 : fault.span.end_column - 1] == marked
    assert words in fault.message
    for wording in (
        "is not valid under",
        "is not of type",
        "Additional properties",
        "does not match",
        "required property",
        "anyOf",
    ):
        assert wording not in fault.message


def test_several_faults_in_the_order_of_the_file_at_most_twenty() -> None:
    text = SMALL.replace("faces: SW", "faces: SWX").replace("format: 1", "format: 0") + "wrong: 1\n"
    found = faults(read_text(text, "x"))
    assert [fault.span[0] for fault in found if fault.span] == [1, 2, 6]
    assert found == faults(read_text(text, "x"))
    many = SMALL + "".join(f"wrong{n}: 1\n" for n in range(50))
    assert len(faults(read_text(many, "x"))) == MOST_FAULTS


@pytest.mark.parametrize("text", ["[]\n", "hello\n", "3\n", "a: 1\n", "- a\n"])
def test_what_is_no_plan_at_all(text: str) -> None:
    assert {fault.code for fault in faults(read_text(text, "x"))} == {"PLAN-02"}


def test_what_could_not_be_read_gets_no_second_fault() -> None:
    assert faults(read_text("a: *x\n", "x")) == ()


def test_nothing_is_missing_from_what_was_left_out() -> None:
    document = read_text(
        SMALL.replace("key: CoM, ", "").replace(
            "- {name: Cornus mas, at: [1.8, 1.9]}", "- key: CoM\n  name: Cornus: mas\n  at: [1, 1]"
        ),
        "x",
    )
    assert document.faults and document.data["plants"] == [{"key": "CoM", "at": [1, 1]}]
    assert faults(document) == ()


def test_a_mutation_by_text() -> None:
    """Whatever is typed into a plan is told or accepted, never raised."""
    for start in range(0, len(SMALL), 3):
        told = faults(read_text(SMALL[:start] + "?" + SMALL[start + 2 :], "x"))
        assert all(fault.code == "PLAN-02" and fault.message for fault in told)
