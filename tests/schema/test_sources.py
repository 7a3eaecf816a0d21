"""libyaml and ruamel.yaml, under the same builder, give the same data and the same places."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.schema.builder import Bounds, Built, build
from bedfellow.schema.events import Mishap, quick, thorough
from bedfellow.schema.place import Place

CORPUS = [
    "a: 1\nb: [x, {c: d}]\n",
    "a: 1\r\nb: é😀x # c\r\nc:\r\n- 1\r\n-\r\n  - 2\r\n",
    "a:\nb: ~\nc: ''\n",
    "? a\n: b\n? c\n",
    "- \n- a\n-\n- b: \n  c: d\n",
    "a: &x [1, {b: 2}]\nc: *x\nd: {e: *x}\n",
    "a: |\n  one\n  two\n\nb: >-\n  folded\n  text\n\n# note\nc: 1\n",
    "a: 'it''s'\nb: \"\\u00e9\\t\\x41\"\nc: plain 'quoted' \"text\"\n",
    "a: two\n  lines\nb: 'two\n  lines'\n",
    "- - - 1\n  - 2\n- {}\n- []\n",
    "{a: 1, 'b': [2, 3,], c: , d}\n",
    "%YAML 1.2\n---\na: 1\n...\n",
    "--- a\n",
    "a: 1\n---\nb: 2\n",
    "a: !!str 1\nb: !!int '2'\nc: !x 3\nd: ! 4\n",
    "a: 2026-10-22\nb: yes\nc: 0o17\nd: 0x1F\ne: .inf\nf: 1e3\ng: 012\nh: +1.5\ni: 1_000\nj: 12:30\n",
    "key: [a, b]: c\n",
    "a: b: c\n",
    "a:\n\t- b\n",
    "a: 1\n  # deep note\n# note\nb:\n  # inside\n  - 1\n  # after\nc: 2\n",
    "[a, b]: c\n",
    "a: {x: 1,\n  y: 2\n  }\n",
    "",
    "# only a note\n",
    "&r a: 1\n*r : 2\n",
    "a: - b\n",
    "a: 'x\n",
    "é😀: [1, ü]\n",
    "plants:\n- {name: Narcissus 'Tête-à-tête', at: [1, 2]}\n- {name: Geranium × magnificum}\n",
]


def marks(place: Any) -> Any:
    if not isinstance(place, Place):
        return place
    children = place.children
    below = (
        {key: marks(child) for key, child in children.items()}
        if isinstance(children, dict)
        else [marks(c) for c in children]
    )
    return (place.marks, place.keys, below)


def same(left: Any, right: Any) -> bool:
    if isinstance(left, float) and isinstance(right, float) and math.isnan(left):
        return math.isnan(right)
    if isinstance(left, dict) and isinstance(right, dict):
        return list(left) == list(right) and all(same(left[key], right[key]) for key in left)
    if isinstance(left, list) and isinstance(right, list):
        return len(left) == len(right) and all(map(same, left, right))
    return type(left) is type(right) and bool(left == right)


def read(source: Any, text: str) -> Built | Mishap:
    events = source(text)
    assert events is not None, "PyYAML came without libyaml"
    try:
        return build(events, Bounds(depth=12, nodes=500))
    except Mishap as mishap:
        return mishap


def differences(text: str) -> list[str] | None:
    """What both read differently; None where one of them refuses the text, and ruamel.yaml is asked."""
    left, right = read(quick, text), read(thorough, text)
    if isinstance(left, Mishap) or isinstance(right, Mishap) or left.faults or not isinstance(left.place, Place):
        return None
    alike = {
        "data": same(left.data, right.data),
        "faults": left.faults == right.faults,
        "extent": (left.empty, left.whole) == (right.empty, right.whole),
        "places": marks(left.place) == marks(right.place),
    }
    return [what for what, is_alike in alike.items() if not is_alike]


@pytest.mark.parametrize("text", CORPUS)
def test_corpus(text: str) -> None:
    assert not differences(text)


def test_most_of_the_corpus_is_accepted_by_both() -> None:
    assert sum(differences(text) == [] for text in CORPUS) >= 17


PIECES = st.sampled_from(
    ["a", "b: ", "c:", "- ", "-", "\n", "\n  ", "\n    ", "\r\n", "{", "}", "[", "]", ", ", ": ", "'", '"', "|", ">-", "# n", "&x ",
     "*x", "é", "😀", " ", "1", "1.5", "~", "!t ", "!!int ", "? ", "---\n", "\\n", "true", "\t", "%", "@", "\n\n", "\n- ", "\na: "]
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECES, max_size=14).map("".join))
def test_any_text(text: str) -> None:
    assert not differences(text)


WORDS = st.text("abé😀 1.-:#'\"{[,", max_size=6)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-99, 99) | WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=10,
)


@settings(max_examples=100, deadline=None)
@given(VALUES, st.sampled_from([None, True, False]), st.sampled_from(["\n", "\r\n"]), st.sampled_from([1, 4]))
def test_written_data_comes_back(value: Any, flow: bool | None, line_break: str, indent: int) -> None:
    import yaml

    text = yaml.safe_dump(
        value,
        default_flow_style=flow,
        allow_unicode=True,
        line_break=line_break,
        indent=indent,
        width=20,
        sort_keys=False,
    )
    assert not differences(text)
    built = read(quick, text)
    assert isinstance(built, Built)
    assert same(built.data, value)
