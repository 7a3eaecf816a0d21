"""A plan grown from its text."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bedfellow.rules.border.border import Border
from bedfellow.schema.decode import plan_from
from bedfellow.schema.reader import read_text
from bedfellow.schema.validity import faults
from bedfellow.traits_db.snapshot import Store

Grow = Callable[..., Border]
HEAD = """\
format: 1
planted: {planted}
site: {{latitude: {latitude}, faces: S{site}}}
border: {{outline: [[0, 0], [10, 0], [10, 6], [0, 6]]}}
"""


@pytest.fixture
def grow(store: Store) -> Grow:
    """A border of lines of plants, with more of the site and of the plan as wanted."""

    def border(plants: str, site: str = "", more: str = "", latitude: float = 51.6, planted: str = "2026-10") -> Border:
        text = HEAD.format(site=site, planted=planted, latitude=latitude) + more + f"plants:\n{plants}"
        document = read_text(text, "x")
        assert faults(document) == ()
        plan, _ = plan_from(document)
        assert plan is not None
        return Border(plan, store)

    return border
