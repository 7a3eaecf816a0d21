"""What was delivered, as a list says it, against the lines of a plan.

A row names its line by key, or by the name that was ordered; then what came: its name (empty: as ordered), quantity, size.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from difflib import get_close_matches
from typing import NamedTuple

from bedfellow.linter.repair.substitute import in_place
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.planting import Planting
from bedfellow.schema.plan import Line
from bedfellow.schema.units import Supplied, shown, supplied
from bedfellow.traits_db.exchange.rows import Row, WrongRow
from bedfellow.traits_db.names import name_key

COLUMNS = ("key", "ordered", "delivered", "quantity", "size")


class Arrived(NamedTuple):
    """A row of the list. name: of the plant that came, accepted; quantity, size: None where nothing is said of them."""

    planting: Planting
    name: str
    quantity: int | None
    size: Supplied | None

    @property
    def swapped(self) -> bool:
        return self.name != self.planting.traits.name

    @property
    def fewer(self) -> bool:
        return self.quantity is not None and self.quantity < self.planting.line.number

    def line(self, of_list: bool = True) -> Line:
        """The line of the plan with the plant that came; of_list: in the size and number in which it came too."""
        line: Line = self.planting.line
        if self.swapped:
            line = in_place(line, self.name)
        if of_list and self.size:
            line = replace(line, supplied=self.size)
        if of_list and self.quantity and line.outline:
            line = replace(line, quantity=self.quantity)
        return line


def unknown_columns(names: Sequence[str]) -> str | None:
    """What is wrong with the headings of a list; None where nothing is."""
    other = next((name for name in names if name not in COLUMNS), None)
    if other:
        return f"the column '{other}' is not known; a list has {', '.join(COLUMNS)}"
    if "key" not in names and "ordered" not in names:
        return "there is neither a column 'key' nor a column 'ordered'"
    return None


def arrivals(rows: Iterable[Row | WrongRow], border: Border) -> tuple[list[Arrived], list[WrongRow]]:
    """(what came, rows at fault with their lines). Raises BrokenFile as `read_rows` does."""
    read: list[tuple[int, dict[str, str]]] = []
    faults: list[WrongRow] = []
    for row in rows:
        if isinstance(row, WrongRow):
            faults.append(row)
        else:
            read.append((row.line, {name: str(cell).strip() for name, cell in row.cells.items()}))
    found = border.store.find({cells["delivered"] for _, cells in read if cells.get("delivered")})
    accepted = {name: traits.name for name, traits in found.items() if traits and traits.rank != "genus"}
    came: dict[str, tuple[int, Arrived]] = {}
    for line, cells in read:
        try:
            arrived = _arrived(cells, border, accepted)
            if arrived.planting.key in came:
                raise ValueError(f"{arrived.planting.key} stands in line {came[arrived.planting.key][0]} already")
        except ValueError as error:
            faults.append(WrongRow(line, str(error)))
        else:
            came[arrived.planting.key] = (line, arrived)
    return [arrived for _, arrived in came.values()], sorted(faults, key=lambda fault: fault.line)


def _arrived(cells: dict[str, str], border: Border, accepted: dict[str, str]) -> Arrived:
    planting = _planting(cells.get("key", ""), cells.get("ordered", ""), border)
    name = cells.get("delivered", "")
    if name and name not in accepted:
        near = border.near_names(name)
        raise ValueError(f"no plant is called {shown(name)}" + (f"; nearest: {', '.join(near)}" if near else ""))
    quantity, size = cells.get("quantity", ""), cells.get("size", "")
    if quantity and not (quantity.isascii() and quantity.isdigit() and 0 < int(quantity) < 10**6):
        raise ValueError(f"quantity: {shown(quantity)} is no number of plants; leave out what did not come")
    stated = supplied(size) if size else None
    if stated and stated.litres is None and stated.metres is None:
        raise ValueError(f"size: {shown(size)} says no size; write it as 3 L, 9 cm or 40-60 cm")
    return Arrived(planting, accepted.get(name, planting.traits.name), int(quantity) if quantity else None, stated)


def _planting(key: str, ordered: str, border: Border) -> Planting:
    """The planting that a row is of. Raises ValueError where the plan has none, several, or another under that key."""
    named = [p for p in border.plantings if name_key(ordered) in (name_key(p.line.name), name_key(p.traits.name))]
    if key:
        planting = next((p for p in border.plantings if p.key == key), None)
        if planting is None:
            near = get_close_matches(key, [p.key for p in border.plantings], 3, 0.5)
            unread = any(line.key == key for line in border.unknown_names)
            told = f"the plant of {key} in the plan is not known" if unread else f"the plan has no line '{key}'"
            raise ValueError(told + (f"; nearest: {', '.join(near)}" if near and not unread else ""))
        if ordered and planting not in named:
            raise ValueError(f"{key} is {planting.traits.name} in the plan, not {shown(ordered)}")
        return planting
    if not ordered:
        raise ValueError("the row says neither the key nor what was ordered")
    if not named:
        near = get_close_matches(ordered, [p.traits.name for p in border.plantings], 3, 0.5)
        raise ValueError(f"the plan has no {shown(ordered)}" + (f"; nearest: {', '.join(near)}" if near else ""))
    if len(named) > 1:
        raise ValueError(f"{ordered} stands in {', '.join(p.key for p in named)}; say which by its key")
    return named[0]
