"""STOCK-04, -05, -06, -08 and -09: how names are written, when stock is lifted and planted, what it costs, and its health."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

CROSS = re.compile(r"(?:^|\s)[xX]\s")
DOUBLE = re.compile('["“”„]')
EPITHET = re.compile(r"['‘].+['’]")
LIFTED = ("bare-root", "root-balled")
POTTED = ("container", "plug")
# Common practice; from memory what the Union's rules on Xylella fastidiosa treat with most care.
HOSTS = ("Coffea", "Lavandula dentata", "Nerium oleander", "Olea europaea", "Polygala myrtifolia", "Prunus dulcis")
PASSPORT = ("passport", "own-raised", "own raised", "raised here")


def form_of_name(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A name that is found but not written as the codes of nomenclature have it."""
    for planting in border.plantings:
        name = planting.line.name
        case = _written_wrong(name, planting)
        if case:
            yield Finding(
                "note", (planting.key,), (*planting.path, "name"), {"name": name, "right": planting.traits.name, "key": planting.key},
                confidence="high", case=case,
            )  # fmt: skip


def _written_wrong(name: str, planting: Planting) -> str:
    """What is wrong with the form of a name; empty where nothing is, or where another name is meant anyway."""
    if planting.traits.matched == "trade":
        return "" if EPITHET.search(name) or name.partition(" ")[2].isupper() else "trade"
    if planting.traits.matched != "accepted":
        return ""
    if CROSS.search(name):
        return "cross"
    return "quotes" if DOUBLE.search(name) else ""


def lifted_out_of_season(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Bare-root or root-balled trees and shrubs planted while they are in leaf."""
    coldest = border.plan.site.minimum_temperature
    for planting in border.plantings:
        line = planting.line
        date = line.planted or line.delivery or border.plan.planted
        if line.root_form not in LIFTED or not planting.woody or date is None or _stored(planting):
            continue
        rest = _rest(limits, coldest is not None and coldest <= limits["cold"], planting.evergreen)
        here = [border.month_here(month) for month in rest]
        if date[1] in here:
            continue
        beside = date[1] in ((here[0] - 2) % 12 + 1, here[-1] % 12 + 1)
        where = "planted" if line.planted else "delivery" if line.delivery else ""
        yield Finding(
            "warning" if beside else "error", (planting.key,), (*planting.path, where) if where else ("planted",),
            {"plant": planting.title, "form": line.root_form, "month": date[1], "first": here[0], "last": here[-1]},
        )  # fmt: skip


def _rest(limits: Mapping[str, Any], cold: bool, evergreen: bool) -> list[int]:
    """The northern months in which stock is lifted, in order from autumn; a month longer for evergreens and in the cold."""
    first, last = int(limits["first"]) - evergreen, int(limits["last"]) + (evergreen or cold)
    return [(first + n - 1) % 12 + 1 for n in range((last - first) % 12 + 1)]


def _stored(planting: Planting) -> bool:
    return planting.supplied is not None and "cold" in planting.supplied.text.lower()


def out_of_window(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A line with a date of its own outside the time in which its plant is planted."""
    coldest = border.plan.site.minimum_temperature
    for planting in border.plantings:
        line = planting.line
        date = line.planted or line.delivery
        if date is None or (line.root_form in LIFTED and planting.woody):
            continue
        potted = line.root_form in POTTED or (planting.supplied is not None and planting.supplied.litres)
        if potted and coldest is not None and coldest > limits["mild"]:
            continue
        window = border.window(planting, "planting_window")
        if window is None:
            yield Unjudged(planting.key, (border.wanting(planting, "planting_window"),), planting.path)
            continue
        span = window.start.typical, window.end.typical
        if share_of_month(span, date[1]) > 0:
            continue
        yield Finding(
            "note", (planting.key,), (*planting.path, "planted" if line.planted else "delivery"),
            {"plant": planting.title, "month": date[1],
             "months": [month for month in _from(span[0]) if share_of_month(span, month) > 0]},
        )  # fmt: skip


def _from(day: float) -> list[int]:
    """The months of a year, beginning with that of a day."""
    first = next(month for month in range(1, 13) if share_of_month((day, day + 1), month) > 0)
    return [(first + n - 1) % 12 + 1 for n in range(12)]


def over_budget(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """The priced lines of the schedule cost more than the brief allows; lines without a price come on top."""
    brief = border.plan.brief
    if brief is None or not brief.budget or not border.plan.schedule:
        return
    currency = brief.currency or ""
    drawn: dict[str, int] = {}
    for line in border.plan.lines:
        drawn[line.key] = drawn.get(line.key, 0) + line.number + (line.spare or 0)
    costs = [
        ((drawn.get(entry.key, 0) if entry.quantity is None else entry.quantity) * entry.price, entry)
        for entry in border.plan.schedule
        if entry.price is not None
    ]
    if not costs:
        yield Unjudged("", ("prices in the schedule",), ("schedule",))
        return
    total = sum(cost for cost, _ in costs)
    if round(total / brief.budget, 3) <= limits["over"]:
        return
    dearest = sorted(costs, key=lambda found: -found[0])[:3]
    yield Finding(
        "warning", (), (*brief.path, "budget"),
        {"total": round(total), "budget": brief.budget, "currency": currency, "over": round(total / brief.budget - 1, 2),
         "most": listed([f"{_named(border, entry.key)} at {cost:.0f}" for cost, entry in dearest]),
         "unpriced": len(border.plan.schedule) - len(costs)},
        tuple((entry.path, entry.key) for _, entry in dearest),
    )  # fmt: skip


def _named(border: Border, key: str) -> str:
    return border.by_key[key].title if key in border.by_key else key


def health(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Hosts of Xylella fastidiosa bought without a word on their plant passport: one finding names all."""
    hosts = [
        planting
        for planting in border.plantings
        if not any(word in (planting.line.note or "").lower() for word in PASSPORT)
        and any(f"{planting.traits.name} ".startswith(f"{host} ") for host in HOSTS)
    ]
    if hosts:
        yield Finding(
            "note", tuple(sorted(planting.key for planting in hosts)), hosts[0].path,
            {"plants": listed([planting.title for planting in hosts])}, tuple((planting.path, planting.key) for planting in hosts[1:]),
        )  # fmt: skip
