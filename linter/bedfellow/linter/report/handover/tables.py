"""The schedules as a workbook (XLSX) and as CSV files, in which nothing that a plan says is ever reckoned as a formula."""

from __future__ import annotations

import datetime
import io
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.handover import rows, sums
from bedfellow.linter.report.handover.rows import Table, words
from bedfellow.traits_db.exchange.export import write_csv

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.pack import Pack

WIDEST, NARROWEST = 60, 8  # characters
IN_FILES = ("order", "plants", "bulbs", "temporary plants", "supports", "setting out", "tasks")


def files(pack: Pack) -> dict[str, bytes]:
    """The CSV files by name: UTF-8, comma, a heading; cells that a spreadsheet would reckon stand behind a quote."""
    return {file_of(table.name): _csv(table) for table in rows.every(pack) if table.name in IN_FILES}


def file_of(name: str) -> str:
    """The name of the CSV file of a table."""
    return f"{name.replace(' ', '-')}.csv"


def _csv(table: Table) -> bytes:
    stream = io.StringIO(newline="")
    write_csv(stream, table.headings, (dict(zip(table.headings, rows.texts(row), strict=True)) for row in table.rows))
    return stream.getvalue().encode()


def workbook(pack: Pack) -> bytes:
    """A sheet a table. The only formulas are the products and sums of our own columns."""
    import xlsxwriter

    stream = io.BytesIO()
    book = xlsxwriter.Workbook(
        stream, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    )
    book.set_properties(
        {
            "title": words(pack.title)[:255],
            "created": datetime.datetime.combine(pack.today, datetime.time()),
            "author": "",
        }
    )
    forms = {
        "head": book.add_format({"bold": True, "text_wrap": True, "bottom": 1, "valign": "top"}),
        "cell": book.add_format({"text_wrap": True, "valign": "top"}),
        "money": book.add_format({"num_format": "#,##0.00", "valign": "top"}),
        "total": book.add_format({"bold": True, "num_format": "#,##0.00", "top": 1}),
    }
    for table in rows.every(pack):
        _sheet(book.add_worksheet(table.name), table, forms, pack)
    book.close()
    return stream.getvalue()


def _sheet(sheet: Any, table: Table, forms: dict[str, Any], pack: Pack) -> None:
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    for column, heading in enumerate(table.headings):
        sheet.write_string(0, column, heading, forms["head"])
        longest = max((len(texts[column]) for texts in map(rows.texts, table.rows)), default=0)
        sheet.set_column(column, column, min(WIDEST, max(NARROWEST, longest + 1)))
    for number, row in enumerate(table.rows, 1):
        for column, cell in enumerate(row):
            if isinstance(cell, int | float):
                sheet.write_number(number, column, cell, forms["money" if column in table.money else "cell"])
            elif cell:
                sheet.write_string(number, column, words(cell), forms["cell"])
        if table.cost and row[table.cost[2]] is not None:
            _product(sheet, number, table.cost, row[table.cost[2]], forms["money"])
    if table.cost and table.rows:
        _total(sheet, table, forms, pack)


def _product(sheet: Any, number: int, columns: tuple[int, int, int], value: Any, form: Any) -> None:
    from xlsxwriter.utility import xl_rowcol_to_cell

    quantity, price, cost = columns
    formula = f"={xl_rowcol_to_cell(number, quantity)}*{xl_rowcol_to_cell(number, price)}"
    sheet.write_formula(number, cost, formula, form, value)


def _total(sheet: Any, table: Table, forms: dict[str, Any], pack: Pack) -> None:
    """Under the last row: the sum, and how many lines have no price and so come on top."""
    from xlsxwriter.utility import xl_range

    assert table.cost is not None
    column, last = table.cost[2], len(table.rows)
    found = sums.total([row for row in pack.orders if row.kind == table.name])
    sheet.write_string(last + 1, 1, "total", forms["head"])
    sheet.write_formula(last + 1, column, f"=SUM({xl_range(1, column, last, column)})", forms["total"], found.cost)
    sheet.write_string(last + 1, column + 1, words(pack.currency), forms["head"])
    if found.unpriced:
        sheet.write_string(last + 2, 1, f"{found.unpriced} lines without a price come on top", forms["cell"])
