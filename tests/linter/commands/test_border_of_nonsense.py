"""Plans beyond sense and beyond the model: told in words or answered in figures, and every figure is one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from math import isfinite
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app

pytestmark = pytest.mark.usefixtures("store_in_cache")

PLANTS = (
    "- {key: CoM, name: Cornus mas, at: [3, 2]}\n- {key: NaT, name: \"Narcissus 'Tête-à-tête'\", at: [3, 1]}\n"
    "- {key: GeM, name: Geranium macrorrhizum, outline: [[0.5, 0.5], [2, 0.5], [2, 2], [0.5, 2]], quantity: 9}\n"
)  # fmt: skip
BED = "[[0, 0], [6, 0], [6, 4], [0, 4]]"


def stated(key: str, **traits: str) -> str:
    words = ", ".join(f"{name}: {{value: {value}, reason: a slip}}" for name, value in traits.items())
    return f"- {{key: {key}, name: Taxus baccata, at: [4, 2], traits: {{{words}}}}}\n"


def plan(site: str = "latitude: 51.6, faces: S", bed: str = BED, more: str = "", plants: str = "", planted: str = "2026-10") -> str:  # fmt: skip
    return (
        f"format: 1\nplanted: {planted}\nsite: {{{site}}}\nborder: {{outline: {bed}}}\n{more}plants:\n{PLANTS}{plants}"
    )


NONSENSE = {
    "no size at all": plan(
        plants=stated("A", height="0") + stated("B", spread="0") + stated("C", height="1.0e-300", spread="1.0e-300")
        + stated("D", years_to_ultimate="0") + stated("E", transmittance_in_leaf="0", transmittance_bare="7"),
        more="retained: [{name: Quercus robur, at: [3, 2], height: 0, crown: [0, 0, 0, 0]}]\n",
    ),
    "sizes without end": plan(
        plants=stated("A", height="1.0e+300") + stated("B", spread_10="1.0e+300") + stated("C", foliage_height="1.0e+300")
        + stated("D", spread="999999", height="999999", crown_base="999999") + stated("E", years_to_ultimate="999999"),
        more="structures: [{kind: wall, from: [0, 4], to: [6, 4], height: 999999}]\n",
    ),
    "all on one spot": plan(
        plants="".join(f"- {{key: S{n}, name: Taxus baccata, at: [[3, 2], [3, 2]]}}\n" for n in range(9)),
        more="structures: [{kind: wall, from: [3, 2], to: [3, 2], height: 2}, {kind: wall, from: [3, 2], to: [4, 2], height: 0}]\n"
        "viewing: [{at: [3, 2], eye: 0.1}]\n",
    ),
    "a sliver": plan(bed="[[0, 0], [6, 0], [6, 1.0e-9], [0, 1.0e-9]]"),
    "a line": plan(bed="[[0, 0], [3, 0], [6, 0]]", plants="- {key: S, name: Ajuga reptans, outline: [[1, 1], [2, 1], [2, 1.0000001]], quantity: 90}\n"),
    "a bow": plan(bed="[[0, 0], [6, 4], [6, 0], [0, 4]]"),
    "a bed all hole": plan(more="structures: [{kind: building, outline: [[-1, -1], [7, -1], [7, 5], [-1, 5]], height: 3}]\n"),
    "a hole by a bridge": plan(bed="[[0, 0], [6, 0], [6, 4], [0, 4], [0, 0], [1, 1], [1, 3], [5, 3], [5, 1], [1, 1]]"),
    "far away": plan(bed="[[0, 0], [300, 0], [300, 0.2], [0, 0.2]]", plants="- {key: F, name: Taxus baccata, at: [1.0e+9, 0]}\n"),
    "the north pole": plan("latitude: 90, faces: S, warming: 60"),
    "midnight sun": plan("latitude: 66, longitude: 15.6, faces: N, warming: 10, horizon: [[0, 90], [180, 0]]"),
    "polar night": plan("latitude: -66, longitude: 180, north: 360, coast: 0", planted="9999-12"),
    "bearings over 360": plan("latitude: 51.6, faces: 725, horizon: [[720, 10], [-30, 95]]", planted="0001-01"),
    "never": plan(plants="- {key: L, name: Taxus baccata, at: [4, 1], planted: 9999-12}\n- {key: M, name: Cosmos bipinnatus, at: [5, 1], until: 0001-01}\n"),
}  # fmt: skip
ASKED = (
    ("sizes", "--seasons", "0,1,20"), ("light",), ("light", "3,1.1", "--season", "20"), ("light", "--ground"), ("calendar",),
    ("cover", "--seasons", "20"), ("sight", "--season", "10"),
)  # fmt: skip
SHARES = {"share_of_beam", "beam", "sky", "any", "seen", "ground", "middle", "top"}


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words))
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.stdout


def figures(value: Any, name: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(value, dict):
        for key, entry in value.items():
            yield from figures(entry, key)
    elif isinstance(value, list):
        for entry in value:
            yield from figures(entry, name)
    elif isinstance(value, int | float):
        yield name, value


def no_constant(word: str) -> None:
    raise AssertionError(f"{word} is no figure")


@pytest.mark.parametrize("case", NONSENSE)
def test_every_figure_is_one(case: str, tmp_path: Path) -> None:
    file = tmp_path / "nonsense.plan.yaml"
    file.write_text(NONSENSE[case], "utf-8")
    status, output = run("lint", str(file), "--format", "json", "--today", "2026-11-25")
    assert status in (0, 1, 2), output
    answers = [json.loads(output, parse_constant=no_constant)]
    for what, *words in ASKED:
        status, output = run("border", what, str(file), *words, "--format", "json")
        assert status == 0 or (status == 2 and not output), (what, output)
        if status == 0:
            answers.append(json.loads(output, parse_constant=no_constant))
    assert len(answers) > 1 or status == 2
    for name, figure in figures(answers):
        assert isfinite(figure), name
    # The evidence of findings has names of its own.
    for name, figure in figures(answers[1:]):
        assert name not in SHARES or 0 <= figure <= 1, (name, figure)
        assert "hours" not in name or 0 <= figure <= 24, (name, figure)


@pytest.mark.parametrize(("case", "says"), [
    ("sizes without end", "height: 1e+300 m is too large for any plant"), ("a bow", "crosses itself"),
    ("bearings over 360", "Expected a number from 0 to 360"), ("the north pole", "from -66 to 66"), ("far away", "no length that a garden can have"),
])  # fmt: skip
def test_what_slipped_is_told_where_it_stands(case: str, says: str, tmp_path: Path) -> None:
    file = tmp_path / "nonsense.plan.yaml"
    file.write_text(NONSENSE[case], "utf-8")
    assert says in run("lint", str(file), "--format", "gnu", "--today", "2026-11-25")[1]


@pytest.mark.parametrize("height", ["nan", "inf", "1e300", "-1"])
def test_a_height_that_is_none(height: str, tmp_path: Path) -> None:
    file = tmp_path / "a.plan.yaml"
    file.write_text(plan(), "utf-8")
    assert run("border", "light", str(file), "3,1", "--height", height) == (2, "")
