"""Packs that many tests look at, made once."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from bedfellow.linter.engine import Options, lint
from bedfellow.linter.report.handover.pack import Pack, pack_of
from bedfellow.traits_db.snapshot import Store

TODAY = datetime.date(2026, 11, 25)
FULL = Path(__file__).parents[2] / "schema" / "full.plan.yaml"
Packed = Callable[[str], Pack]
EVIL = '=HYPERLINK(\\"http://x\\",\\"y\\")'
HOSTILE = f"""\
format: 1
title: "../../etc/<script>alert(1)</script> #eval(\\"1\\") \\u202Eneddih $x$ \\uFFFE"
planted: 2026-10
site: {{latitude: 51.6, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained}}
border: {{outline: [[0, 0], [8, 0], [8, 3], [0, 3]], name: "=1+1"}}
brief: {{currency: "=A1"}}
mulch: {{depth: 5 cm, material: "@SUM(A1)"}}
plants:
- {{key: "=K", name: Cornus mas, at: [2, 1], note: "{EVIL}", supplied: "+3 L", trade_name: "-2+3"}}
- {{key: "<b>", name: "#import \\"x\\": *", at: [4, 1], note: "{"W" * 400}"}}
- {{key: "@k", name: "\\u05d0\\u05d1\\u05d2 '*_`$\\\\", at: [5, 1]}}
- {{key: Nar, name: Narcissus 'Tête-à-tête', outline: [[6, 1], [7, 1], [7, 2], [6, 2]], quantity: 20}}
schedule:
- {{key: "=K", quantity: 3, price: 12.5}}
- {{key: "<b>", price: 2}}
tasks:
- {{task: "=cmd|' /C calc'!A0", plants: ["=K"], month: 3}}
- {{task: "line\\nbreak; comma, \\\\ backslash BEGIN:VEVENT", plants: ["=K"], month: 4, every: 1.5}}
x-revisions:
- {{date: 2026-09-01, by: "=B", what: "#panic()"}}
- just words
"""


@pytest.fixture(scope="session")
def packed(store: Store, tmp_path_factory: pytest.TempPathFactory) -> Packed:
    """The pack of a plan given as text."""

    def pack(text: str) -> Pack:
        file = tmp_path_factory.mktemp("plan") / "test.plan.yaml"
        file.write_text(text if text.startswith(("format", "#")) else f"format: 1\n{text}", "utf-8")
        return pack_of(lint(file, store, Options(today=TODAY)), "0123456789abcdef")

    return pack


@pytest.fixture(scope="session")
def full(packed: Packed) -> Pack:
    """The pack of the plan that uses every word."""
    return packed(FULL.read_text("utf-8"))


@pytest.fixture(scope="session")
def hostile(packed: Packed) -> Pack:
    """The pack of a plan that means harm: formulas, markup, control characters and very long words."""
    pack = packed(HOSTILE)
    assert not [f for f in pack.result.findings if f.code in ("PLAN-01", "PLAN-02")]
    return pack
