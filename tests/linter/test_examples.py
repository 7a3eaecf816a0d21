"""The examples in each check's file say what the check says, and show all that they owe."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bedfellow.linter.examples import missing, wrong
from bedfellow.rules.declaration import declarations, examples
from bedfellow.traits_db.snapshot import Store, open_over

CODES = [code for code, check in declarations().items() if check.judge]


@pytest.fixture(scope="module")
def invented(store: Store, filled: Path) -> Iterator[Store]:
    """The shipped records and the invented ones of the examples."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(filled))
        both = open_over(store, [Path(__file__).parent / "examples"])
        yield both
        both.close()


@pytest.mark.parametrize(
    ("code", "number"), [(code, n) for code in CODES for n in range(len(examples(declarations()[code])))]
)
def test_example(invented: Store, code: str, number: int) -> None:
    example = examples(declarations()[code])[number]
    assert not list(wrong(declarations()[code], example, invented)), example.get("shows")


@pytest.mark.parametrize("code", CODES)
def test_examples_show_all_they_owe(code: str) -> None:
    assert not list(missing(declarations()[code], examples(declarations()[code])))


def test_an_example_that_says_otherwise_is_told(invented: Store) -> None:
    """The judge of examples itself: a place, a level and a number that are wrong, and an exception that is none."""
    plan = "plants:\n- {key: A, name: Ficta calcifuga, at: [5, 5]}\n"
    limy = "site: {latitude: 51.6, faces: S, ph: 7.6}\n"
    found = {"level": "error", "keys": ["A"], "at": "plants[0].name", "values": {"high": 6.5}}
    assert not list(wrong(declarations()["SITE-01"], {"plan": limy + plan, "finds": [found]}, invented))
    for other in ({"level": "note"}, {"at": "plants[0]"}, {"keys": ["B"]}, {"values": {"high": 7.0}}):
        assert list(wrong(declarations()["SITE-01"], {"plan": limy + plan, "finds": [{**found, **other}]}, invented))
    assert list(wrong(declarations()["SITE-01"], {"plan": limy + plan}, invented))
    assert list(
        wrong(declarations()["SITE-01"], {"plan": plan, "right_when": "raised bed", "but_for": "key: A, "}, invented)
    )
