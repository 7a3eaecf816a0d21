"""Edits of a plan's text: what is set is set, and every byte elsewhere stays."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.linter.repair.edit import END, CannotEdit, Edit, edited
from bedfellow.schema.reader import read_text

BLOCK = """\
# a garden
format: 1
plants:
  - key: A   # the first
    name: Taxus baccata
    at: [1, 2]

  # the second
  - {key: B, name: "Hosta 'Halcyon'", at: [[1.0, 2], [3, 4]] }   # near the path
title: x
"""


def test_values_keys_and_items() -> None:
    document = read_text(BLOCK, "a")
    text = edited(
        document,
        [
            Edit(("plants", 0, "clear_stem"), 0.85), Edit(("plants", 1, "at", 0), [1.25, 2]), Edit(("plants", 1, "quantity"), 3),
            Edit(("plants", END), {"key": "C", "name": "Narcissus 'Tête-à-tête'", "at": [1, 1.5]}),
        ],
    )  # fmt: skip
    assert text == BLOCK.replace("# the first\n", "# the first\n    clear_stem: 0.85\n").replace(
        "[1.0, 2]", "[1.25, 2]"
    ).replace("[3, 4]] }", "[3, 4]], quantity: 3 }").replace(
        "near the path\n", "near the path\n  - {key: \"C\", name: Narcissus 'Tête-à-tête', at: [1, 1.5]}\n"
    )


def test_a_key_of_the_last_item_comes_before_an_item_that_is_added() -> None:
    document = read_text("plants:\n- name: Hosta\n", "a")
    edits = [Edit(("plants", END), {"key": "Taxus"}), Edit(("plants", 0, "planted"), "2026-11")]
    wanted = "plants:\n- name: Hosta\n  planted: 2026-11\n- {key: Taxus}\n"
    assert edited(document, edits) == edited(document, edits[::-1]) == wanted


def test_a_list_on_one_line_grows_in_place() -> None:
    document = read_text("plants: [{key: A}, {key: B}]  # all\n", "a")
    text = edited(document, [Edit(("plants", END), {"key": "Cc", "at": [1, 2.5]})])
    assert text == "plants: [{key: A}, {key: B}, {key: Cc, at: [1, 2.5]}]  # all\n"


def test_items_of_one_list_stay_in_their_order_and_a_list_that_is_missing_is_begun() -> None:
    document = read_text("format: 1\nplants:\n- {key: A}\n", "a")
    items = [Edit(("plants", END), {"key": key}) for key in ("Zed", "Bee")]
    text = edited(document, [*items, Edit(("tasks",), [{"task": "stake", "month": 5, "planted": "2026-11"}])])
    assert text == (
        "format: 1\ntasks: [{task: stake, month: 5, planted: 2026-11}]\nplants:\n- {key: A}\n- {key: Zed}\n- {key: Bee}\n"
    )


@pytest.mark.parametrize(
    "name",
    ["Geranium 'Gerwat' (ROZANNE)", "Persicaria: red", "a # b", "yes", "12", "- x", 'say "x"', "{x}", "× Gaultnettya"],
)
def test_names_are_written_so_that_they_are_read_again(name: str) -> None:
    text = edited(read_text(BLOCK, "a"), [Edit(("plants", 0, "name"), name)])
    assert read_text(text, "a").data["plants"][0]["name"] == name


@pytest.mark.parametrize(
    ("text", "edit"),
    [
        ("plants:\n- &a {key: A, at: [1, 2]}\n- *a\n", Edit(("plants", 0, "at"), [3, 4])), ("plants: []\n", Edit(("plants", END), {"key": "A"})),
        ("plants: {key: A}\n", Edit(("plants", END), {"key": "B"})), ("format: 1\n", Edit(("plants", 0, "at"), [1, 2])),
        ("plants:\n- key: |\n    A\n", Edit(("plants", 0, "at"), [1, 2])),
    ],
)  # fmt: skip
def test_what_cannot_be_edited_is_left(text: str, edit: Edit) -> None:
    with pytest.raises(CannotEdit):
        edited(read_text(text, "a"), [edit])


@given(
    st.sampled_from(["\n", "\r\n", "\r"]), st.floats(-50, 50), st.floats(-50, 50), st.text("ab ü'\"#:,{}", max_size=8)
)
def test_all_else_stays_byte_for_byte(line_break: str, x: float, y: float, comment: str) -> None:
    text = BLOCK.replace("# the second", f"# {comment.strip()}").replace("\n", line_break)
    value = [round(x, 2), round(y, 2)]
    new = edited(read_text(text, "a"), [Edit(("plants", 0, "at"), value)])
    start = text.index("[1, 2]")
    assert new.startswith(text[:start]) and new.endswith(text[start + 6 :])
    written: Any = yaml.safe_load(new[start : len(new) - len(text[start + 6 :])])
    assert written == pytest.approx(value)


def test_every_place_of_the_full_plan() -> None:
    """Every number of the full example can be set to another, and nothing else becomes different."""
    text = (Path(__file__).parents[2] / "schema" / "full.plan.yaml").read_text("utf-8")
    document = read_text(text, "full")
    places = [path for path, value in _numbers(document.data, ()) if not isinstance(value, bool)]
    assert len(places) > 100
    for path in places[::7]:
        data = read_text(edited(document, [Edit(path, 1.25)]), "full").data
        for step in path:
            data = data[step]
        assert data == 1.25


def _numbers(data: Any, path: tuple[str | int, ...]) -> Any:
    if isinstance(data, dict):
        for key, value in data.items():
            yield from _numbers(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from _numbers(value, (*path, index))
    elif isinstance(data, int | float):
        yield path, data


def test_a_place_in_a_countrys_grid_keeps_its_millimetres() -> None:
    text = edited(read_text(BLOCK, "a"), [Edit(("plants", 0, "at"), [432100.125, 2.5])])
    assert text == BLOCK.replace("at: [1, 2]", "at: [432100.125, 2.5]")
