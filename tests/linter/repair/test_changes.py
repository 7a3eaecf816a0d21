"""What may mend each finding, asked of the examples in every check's own file."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest

from bedfellow.linter.engine import Options, lint_document
from bedfellow.linter.examples import plan_text
from bedfellow.linter.repair.changes.repair import Repair
from bedfellow.linter.repair.changes.table import CHANGES, MENDS, repairs
from bedfellow.linter.repair.edit import CannotEdit, edited
from bedfellow.linter.settings import Settings
from bedfellow.rules.declaration import declarations, examples
from bedfellow.schema.reader import read_text
from bedfellow.traits_db.snapshot import Store, open_over

OPTIONS = Options()
NONE_IN_EXAMPLES = {"FILL-03"}  # nobody says there when it is planted


@pytest.fixture(scope="module")
def invented(store: Store, filled: Path) -> Iterator[Store]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(filled))
        both = open_over(store, [Path(__file__).parents[1] / "examples"])
        yield both
        both.close()


def offered(code: str, store: Store, design: bool) -> list[tuple[str, Repair]]:
    """The first repairs of each finding in the examples of a check, with the text of the plan."""
    found = []
    for example in examples(declarations()[code]):
        if not example.get("finds"):
            continue
        text = plan_text(example)
        settings = Settings({**declarations()})
        result = lint_document(read_text(text, "a.plan.yaml"), store, Options(only=(code,), settings=settings))
        if result.border is not None:
            for finding in result.findings:
                found += [(text, one) for one in islice(repairs(finding, result.border, OPTIONS, design), 2)]
    return found


@pytest.mark.parametrize("code", sorted(code for code in MENDS if declarations()[code].judge))
def test_a_repair_changes_the_text_in_the_place_that_it_says(invented: Store, code: str) -> None:
    some = offered(code, invented, design=False)
    made = 0
    for text, one in some:
        assert one.keeps_design and one.words[:1].isupper() and "None" not in one.words
        document = read_text(text, "a.plan.yaml")
        try:
            after = edited(document, one.edits)
        except CannotEdit:
            continue
        assert after != text and read_text(after, "a.plan.yaml").data != document.data
        made += 1
    assert made or code in NONE_IN_EXAMPLES, "no example of this check has a repair"


def test_every_code_is_of_a_check() -> None:
    assert {*MENDS, *CHANGES} <= set(declarations())
