"""``bedfellow combine``: plants on a list, judged together without a plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands.shared import Form, FormOption, OutputOption, SeparatorOption, separator_of
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption, data_of

if TYPE_CHECKING:
    from bedfellow.traits_db.facts import TaxonTraits
    from bedfellow.traits_db.snapshot import Store

app = typer.Typer(add_completion=False, rich_markup_mode=None)
HEADINGS = ("name", "plant", "taxon")  # of the column that names the plants
GROUP = "combination"  # heading of the column that names what they are sold as
MOST = 200  # plants that are compared one by one


@app.command()
def combine(
    names: Annotated[list[str] | None, typer.Argument(help="Plants, by any of their names.")] = None,
    file: Annotated[
        Path | None,
        typer.Option(
            "--list",
            help="A text with one name a line, or a CSV with a column 'name'; with a column 'combination' too, of many.",
        ),
    ] = None,
    separator: SeparatorOption = "comma",
    pairs: Annotated[
        bool,
        typer.Option(
            "--pairs", help="Only count which pairs share a site, of a list of any length or of the whole store."
        ),
    ] = False,
    country: Annotated[
        str, typer.Option("--to", help="Where they are delivered, such as EU: whose lists of invasive plants are told.")
    ] = "",
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Judge plants that are to be sold or planted together: the site that all bear, layers, months, company, numbers.

    No distance is known, so none is judged. Exit status 1 where no site suits all of them, or a name is not known.
    """
    from bedfellow.linter.report.combination import as_data, in_words
    from bedfellow.rules.combination.combination import combined

    store = data_of(records).store
    if pairs and not names and not file:
        names = store.matching([])
    listed = list(_listed(file, separator)) if file else []
    if any(group for group, _ in listed) and not pairs:
        _catalogue(store, listed, country, form, output)
        return
    plants, other, unknown = _plants(store, [*(names or []), *(name for _, name in listed)])
    if pairs:
        write(_pairs(plants, unknown, form), output)
        raise typer.Exit(1 if unknown else 0)
    if len(plants) > MOST:
        refuse(f"{len(plants)} plants are more than can be looked at together; {MOST} are ('--pairs' takes any number)")
    found = combined(plants, store)
    write((as_data if form is Form.json else in_words)(found, other, unknown, country), output)
    if unknown or found.leave_out:
        raise typer.Exit(1)


def _catalogue(store: Store, listed: Sequence[tuple[str, str]], country: str, form: Form, output: Path | None) -> None:
    """All combinations of a list, in its order; exit status 1 where one of them cannot be sold as it is."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.report.combinations import Named, as_data, in_words
    from bedfellow.rules.combination.combination import combined

    groups: dict[str, list[str]] = {}
    for group, name in listed:
        groups.setdefault(group or "without a name", []).append(name)
    some = []
    with progress("judging combinations", len(groups)) as tell:
        for number, (group, written) in enumerate(groups.items(), 1):
            plants, other, unknown = _looked_up(store, written)
            if len(plants) > MOST:
                refuse(f"{group} has {len(plants)} plants, more than can be looked at together ({MOST})")
            some.append(Named(group, combined(plants, store) if plants else None, other, unknown))
            tell(number)
    write((as_data if form is Form.json else in_words)(some, country), output)
    if not all(one.sound for one in some):
        raise typer.Exit(1)


def _pairs(plants: Sequence[TaxonTraits], unknown: Mapping[str, Sequence[str]], form: Form) -> str:
    from bedfellow.linter.report.pairs import as_data, in_words
    from bedfellow.traits_db.combination.envelope import bears
    from bedfellow.traits_db.combination.pairs import tally

    told = as_data if form is Form.json else in_words
    return told([traits.name for traits in plants], tally([bears(traits) for traits in plants]), unknown)


def _looked_up(store: Store, written: Sequence[str]) -> tuple[list[TaxonTraits], dict[str, str], dict[str, list[str]]]:
    """(the plants, each once; names written otherwise to the accepted one; names that are not known to the nearest)."""
    from bedfellow.traits_db.names import name_key

    found = store.find(written)
    known = {name: traits for name, traits in found.items() if traits is not None and traits.rank != "genus"}
    unknown = {name: store.near(name) for name in written if name not in known}
    plants = list({traits.name: traits for traits in known.values()}.values())
    other = {name: traits.name for name, traits in known.items() if name_key(name) != name_key(traits.name)}
    return plants, other, unknown


def _plants(store: Store, written: Sequence[str]) -> tuple[list[TaxonTraits], dict[str, str], dict[str, list[str]]]:
    """The same; a refusal where none of them is known."""
    plants, other, unknown = _looked_up(store, written)
    if not plants:
        near = sorted({one for some in unknown.values() for one in some})
        if not written:
            refuse("name the plants, or a file with them")
        nearest = f"nearest: {', '.join(near)}" if near else "no known name is near them"
        refuse(f"none of these plants is known; {nearest}")
    return plants, other, unknown


def _listed(file: Path, separator: str) -> Iterator[tuple[str, str]]:
    """(combination, name) in a file: of a CSV with a heading, else a name a line; what follows a # is left out."""
    from bedfellow.traits_db.exchange.rows import BrokenFile, Row, read_rows

    sign, first = separator_of(separator), None
    try:
        for row in read_rows(file, "csv", sign):
            if not isinstance(row, Row):
                raise BrokenFile(row.message, row.line)
            column = next((name for name in HEADINGS if name in row.cells), None)
            if column is None:
                break
            first = column
            yield str(row.cells.get(GROUP, "")), str(row.cells[column])
        if first is None:
            lines = (line.partition("#")[0].strip() for line in file.read_text("utf-8-sig").splitlines())
            yield from (("", line) for line in lines if line and line.casefold() not in HEADINGS)
    except BrokenFile as broken:
        refuse(f"{file}{f':{broken.line}' if broken.line else ''}: {broken}")
