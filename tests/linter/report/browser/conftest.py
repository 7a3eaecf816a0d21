"""The pages that are looked at, each made once: the demo with faults, and a plan that means harm."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

import bedfellow.linter
from bedfellow.linter.engine import Options, Result, lint
from bedfellow.linter.report.browser.page import page
from bedfellow.traits_db.snapshot import Store

DEMO = Path(bedfellow.linter.__file__).parent / "demo" / "orchard-gate.plan.yaml"
HARMFUL = r"""
format: 1
title: "</script><script>window.harmed=1</script><img src=x onerror=window.harmed=2> & \"q\" [[data]] --> \u202Egnp\u2028 end"
planted: 2026-10
site: {latitude: 51.6, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9}
border: {name: "<b onclick=window.harmed=3>bed</b>", outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}
structures:
- {key: "F<1>\"'", kind: fence, from: [0, 3], to: [6, 3], height: 1.8}
viewing:
- {at: [-2, -2], eye: 1.2, name: "<svg onload=window.harmed=4> window"}
plants:
- {key: "</title><script>window.harmed=5</script>", name: Cornus mas, at: [1.8, 1.9]}
- {key: "\" onmouseover=\"window.harmed=6", name: Osmanthus × burkwoodii, at: [2.6, 2.0], note: "<script>window.harmed=7</script>"}
- {key: "שלום עולם", name: Geranium macrorrhizum, outline: [[3.2, 0.2], [5.4, 0.2], [5.4, 2.0], [3.2, 2.0]], quantity: 18}
- {key: Bad, name: "<iframe src=javascript:window.harmed=8>", at: [5, 2]}
accepted:
- {code: WINTER-01, whole: yes, reason: "<script>window.harmed=9</script>"}
"""


class Made(NamedTuple):
    result: Result
    html: str


@pytest.fixture(scope="session")
def demo(store: Store) -> Made:
    import datetime

    result = lint(DEMO, store, Options(today=datetime.date(2026, 11, 25)))
    return Made(result, page(result))


@pytest.fixture(scope="session")
def harmful(store: Store, tmp_path_factory: pytest.TempPathFactory) -> Made:
    file = tmp_path_factory.mktemp("harmful") / "harmful.plan.yaml"
    file.write_text(HARMFUL, "utf-8")
    result = lint(file, store, Options())
    return Made(result, page(result))
