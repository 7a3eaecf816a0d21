"""A table of positions in CSV, a plant or a group of them a row."""

from __future__ import annotations

from math import isfinite
from pathlib import Path

from bedfellow.linter.survey.drawn import BadDrawing, Drawing, Mark
from bedfellow.linter.survey.layers import Role
from bedfellow.schema.units import LARGEST, METRES

COLUMNS = ("key", "name", "x", "y", "quantity", "spread", "height", "season")
SHOWN = 20  # rows at fault
MOST = 1_000_000
FAR = 1_000.0  # m: what lies farther from its origin is in a country's grid, and moved; nearer, it is the plan's own


def read(path: Path, separator: str, unit: str | None) -> Drawing:
    """The rows of a table. Raises BadDrawing, with the line of every row at fault (the first twenty)."""
    from bedfellow.traits_db.exchange.rows import BrokenFile, Row, read_rows

    word = unit or "m"
    told = "as asked" if unit else "as plans have it: the table says nothing"
    drawing = Drawing(word, METRES[word], told)
    wrong: list[str] = []
    try:
        for row in read_rows(path, "csv", separator, lambda names: _unfit(list(names))):
            if len(drawing.marks) >= MOST:
                raise BadDrawing(f"{path}:{row.line}: at most {MOST:,} rows are read")
            if not isinstance(row, Row):
                wrong.append(f"{path}:{row.line}: {row.message}")
                continue
            try:
                drawing.marks.append(_mark({n.casefold(): str(v) for n, v in row.cells.items()}, row.line))
            except ValueError as error:
                wrong.append(f"{path}:{row.line}: {error}")
            for name in row.cells:
                if name.casefold() not in COLUMNS:
                    drawing.left["", f"column '{name}'", "plans have no such thing"] += 1
    except BrokenFile as broken:
        raise BadDrawing(f"{path}{f':{broken.line}' if broken.line else ''}: {broken}") from None
    if wrong:
        more = f"\n… and {len(wrong) - SHOWN:,} more" if len(wrong) > SHOWN else ""
        raise BadDrawing("\n".join(wrong[:SHOWN]) + more)
    if not drawing.marks:
        raise BadDrawing(f"{path}: there is no row under the headings")
    if all(abs(value) * drawing.metres < FAR for mark in drawing.marks for value in mark.at):
        drawing.origin = (0.0, 0.0)
    drawing.taken["", "plants"] = len(drawing.marks)
    return drawing


def _unfit(names: list[str]) -> str | None:
    known = {name.casefold() for name in names}
    if not {"x", "y"} <= known or not known & {"key", "name"}:
        return f"the columns are {', '.join(names)}; x, y and one of key and name are needed, of {', '.join(COLUMNS)}"
    return None


def _mark(cells: dict[str, str], line: int) -> Mark:
    if not cells.keys() & {"key", "name"}:
        raise ValueError("neither key nor name says which plant this is")
    place = _figure(cells, "x"), _figure(cells, "y")
    x, y = place
    if x is None or y is None:
        raise ValueError(f"{'x' if x is None else 'y'} is empty")
    said = {name.upper(): cells[name] for name in ("key", "name") if name in cells}
    if "quantity" in cells:
        if not cells["quantity"].isascii() or not cells["quantity"].isdigit() or int(cells["quantity"]) < 1:
            raise ValueError(f"quantity is '{cells['quantity']}', which is no number of plants")
        said["QUANTITY"] = cells["quantity"]
    spread = _figure(cells, "spread")
    return Mark(Role("plants"), "", (x, y), f"line {line}", spread / 2 if spread else None, "", said)


def _figure(cells: dict[str, str], name: str) -> float | None:
    text = cells.get(name)
    if text is None:
        return None
    try:
        value = float(text)
    except ValueError:
        if text.replace(",", "", 1).lstrip("+-").replace(".", "", 1).isdigit():
            raise ValueError(f"{name} is '{text}': write the decimals after a point, as 1.25") from None
        raise ValueError(f"{name} is '{text}', which is no number") from None
    if not isfinite(value) or abs(value) > 1000 * LARGEST:
        raise ValueError(f"{name} is '{text}', which is no place")
    return value
