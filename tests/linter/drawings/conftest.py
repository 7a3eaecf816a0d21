"""The plans that are drawn, judged once: both demos, the plan that uses every word, and a crowded border of a hundred plants."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest
from lint_time import plan_of

import bedfellow.linter
from bedfellow.linter.engine import Options, Result, lint
from bedfellow.linter.report.drawings import drawn
from bedfellow.linter.report.drawings.asked import Asked
from bedfellow.linter.report.drawings.sheet import CannotDraw, Drawing
from bedfellow.traits_db.snapshot import Store

DEMO = Path(bedfellow.linter.__file__).parent / "demo"
FULL = Path(__file__).parents[2] / "schema" / "full.plan.yaml"
TODAY = datetime.date(2026, 11, 25)
Draw = Callable[..., Drawing]


@pytest.fixture(scope="session")
def judged(store: Store, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Result]:
    """Name of a plan → what is known of it."""
    files = {
        "demo": DEMO / "orchard-gate.plan.yaml",
        "mended": DEMO / "orchard-gate-mended.plan.yaml",
        "full": FULL,
        "crowded": plan_of(100, tmp_path_factory.mktemp("plans")),
    }
    return {name: lint(file, store, Options(today=TODAY)) for name, file in files.items()}


@pytest.fixture(scope="session")
def draw(judged: dict[str, Result]) -> Draw:
    """A picture of one of them; each is made once. Raises CannotDraw."""
    made: dict[tuple[str, str, Asked], Drawing | CannotDraw] = {}

    def picture(name: str, plan: str = "demo", **asked: object) -> Drawing:
        wanted = (name, plan, Asked(**asked))  # type: ignore[arg-type]
        if wanted not in made:
            try:
                made[wanted] = drawn(name, judged[plan], wanted[2])
            except CannotDraw as reason:
                made[wanted] = reason
        found = made[wanted]
        if isinstance(found, CannotDraw):
            raise found
        return found

    return picture
