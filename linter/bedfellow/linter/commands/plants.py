"""``bedfellow plants``: ask the store for plants: one, several side by side, or those that are wanted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.grown import PlanArgument, border_read, judging
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption, WithinOption, point
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption, data_of, library_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bedfellow.schema.traits import Trait
    from bedfellow.traits_db.facts import Fact, TaxonTraits
    from bedfellow.traits_db.search.asked import Asked
    from bedfellow.traits_db.search.search import Answer, Candidate
    from bedfellow.traits_db.snapshot import Store

app = typer.Typer(
    cls=Told,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    help="Ask what is known of plants, and for plants.",
)
LayerOption = Annotated[str, typer.Option(help="Layer of the border: ground, middle, top, climbers or bulbs.")]


@app.command()
def show(
    words: Annotated[list[str], typer.Argument(metavar="NAME", help="Botanical, trade or common name.")],
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Tell what is known of a plant: every value, the level that it comes from, and its sources."""
    from bedfellow.linter.report.page import plant_page
    from bedfellow.linter.report.plain import as_json, plain

    data, name = data_of(records), " ".join(words)
    store = data.store
    traits = known(store, name)
    statements = store.statements(traits.name)
    if form is Form.text:
        write(f"{_called(name, traits)}{plant_page(traits, statements)}Plant data: {data.told}\n", output)
        return
    from bedfellow.schema.cells import plain_value
    from bedfellow.schema.traits import trait_table

    table = trait_table().traits
    others = [
        {
            "trait": trait,
            "value": plain_value(table[trait], value),
            "source": source,
            "method": method,
            "confidence": sure,
        }
        for trait, value, source, method, sure in statements
    ]
    page = {
        "asked": plain(name),
        "data": data.store.version,
        "matched": traits.matched,
        **_as_data(traits),
        "statements": others,
    }
    write(as_json(page), output)


@app.command()
def find(
    must: Annotated[
        list[str] | None,
        typer.Argument(help="What a plant must be, such as 'height up to 60 cm', 'flower July', 'not hazards dogs'."),
    ] = None,
    rather: Annotated[list[str] | None, typer.Option(help="What it should be: moves plants up and down.")] = None,
    layer: LayerOption = "",
    site: Annotated[Path | None, typer.Option(help="A plan, for whose soil and winters the plant must be fit.")] = None,
    within: WithinOption = 20.0,
    most: Annotated[int, typer.Option(min=1, help="How many to show.")] = 20,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Find plants by what they must be and should be, best first; 'plants traits' lists what can be asked for."""
    from bedfellow.traits_db.search.search import search

    _one_of_layers(layer)
    store = data_of(records).store
    musts = [*asked_of(must or [], within), *(_of_site(site, store) if site else [])]
    wishes = asked_of(rather or [], within)
    if not musts and not wishes and not layer:
        refuse(
            "say what the plant must be, such as 'height up to 60 cm'; 'bedfellow plants traits' lists what can be asked for"
        )
    answer = search(store, musts, wishes, layer)
    shown = answer.candidates[:most]
    if form is Form.json:
        write(_found_as_json([*musts, *wishes], answer, shown), output)
    else:
        write(_found_as_text([*musts, *wishes], answer, shown), output)
    if not shown:
        raise typer.Exit(1)


@app.command()
def compare(
    names: Annotated[list[str], typer.Argument(help="Two plants or more.")],
    every: Annotated[bool, typer.Option("--every", help="Show the traits in which they are alike too.")] = False,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Set plants side by side, by the traits in which they differ."""
    from bedfellow.linter.report.page import CAUTION, said
    from bedfellow.linter.report.plain import as_json, plain
    from bedfellow.linter.table import table
    from bedfellow.schema.traits import trait_table

    store = data_of(records).store
    plants = [known(store, name) for name in names]
    if len({plant.name for plant in plants}) < 2:
        refuse(
            "name two plants or more" if len(names) < 2 else f"{' and '.join(names)} are one plant: {plants[0].name}"
        )
    rows = []
    for name, trait in trait_table().traits.items():
        values = [fact.value if (fact := plant.fact(name)) else None for plant in plants]
        if any(value is not None for value in values) and (every or len(set(values)) > 1):
            rows.append((trait, values))
    if form is Form.json:
        traits = [trait.name for trait, _ in rows]
        write(as_json({"caution": CAUTION, "plants": [_as_data(plant, traits) for plant in plants]}), output)
        return
    lines = [
        (trait.name.replace("_", " "), *("not known" if value is None else said(trait, value) for value in values))
        for trait, values in rows
    ]
    write(_paragraphs(table(("trait", *(plain(plant.name) for plant in plants)), lines), CAUTION), output)


@app.command()
def fill(
    plan: PlanArgument,
    must: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[X,Y] [MUST]...",
            help="A place in metres, such as 3.2,1.4, or the roomiest; what the plant must be besides, such as 'flower July'.",
        ),
    ] = None,
    rather: Annotated[list[str] | None, typer.Option(help="What it should be: moves plants up and down.")] = None,
    layer: LayerOption = "",
    within: WithinOption = 20.0,
    most: Annotated[int, typer.Option(min=1, max=50, help="How many to show.")] = 8,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Tell what could fill a gap: plants that fit its light, soil, room, months and neighbours, best first.

    Each is judged at that place as 'lint' would; one that would bring an error or a warning is not offered.
    """
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair.gap import LOOKED_AT, NoRoom, fillers, place, roomiest
    from bedfellow.linter.report import gap

    texts = list(must or [])
    # A place is one word, or two with a comma; what a plant must be is a trait and its value.
    is_place = bool(texts) and (len(texts[0].split()) == 1 or ("," in texts[0] and len(texts[0].split()) == 2))
    stated = point(texts.pop(0)) if is_place else None
    musts, wishes = asked_of(texts, within), asked_of(rather or [], within)
    _one_of_layers(layer)
    border = border_read(plan, library_of(records or []))
    spot = stated or roomiest(border)
    if spot is None:
        refuse(f"{plan}: nowhere in a bed is there room for another plant")
    try:
        offered = place(border, spot)
    except NoRoom as none:
        refuse(f"{plan}: {none}")
    with progress("judging each plant at its place", LOOKED_AT * most) as tell:
        found = fillers(border, offered, musts, wishes, layer, most, judging(plan, border), tell)
    write(gap.as_data(offered, found) if form is Form.json else gap.in_words(offered, found), output)
    if not found.good:
        raise typer.Exit(1)


@app.command()
def traits(form: FormOption = Form.text, output: OutputOption = None) -> None:
    """List every trait that can be asked for, and what its value can be."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table
    from bedfellow.schema.traits import trait_table

    rows = []
    for row in trait_table().traits.values():
        steps = ", ".join(row.scale.values()) or ", ".join(row.options) or row.unit
        rows.append((row.name.replace("_", " "), row.kind, steps, row.about))
    if form is Form.json:
        columns = ("trait", "kind", "values", "about")
        write(as_json([dict(zip(columns, row, strict=True)) for row in rows]), output)
    else:
        write(table(("trait", "kind", "unit, steps or words", "what it is"), rows), output)


def known(store: Store, name: str) -> TaxonTraits:
    """The plant of a name; a refusal with the nearest names where there is none."""
    found = store.find([name])[name]
    if found is None:
        near = store.near(name)
        refuse(f"no plant is called '{name}'" + (f"; nearest: {', '.join(near)}" if near else ""))
    return found


def _one_of_layers(layer: str) -> None:
    from bedfellow.traits_db.index import LAYERS

    if layer and layer not in LAYERS:
        refuse(f"--layer is one of {', '.join(LAYERS)}, not '{layer}'")


def _paragraphs(*paragraphs: str) -> str:
    """Paragraphs with an empty line between them; the last is filled to the width of a page."""
    from textwrap import fill

    from bedfellow.linter.report.page import WIDTH

    *first, last = paragraphs
    return "\n".join([*first, fill(last, WIDTH) + "\n"])


def _called(name: str, traits: TaxonTraits) -> str:
    from bedfellow.linter.report.plain import plain

    kinds = {"synonym": "a synonym", "trade": "a trade designation", "common": "a common name"}
    return f"'{plain(name)}' is {kinds[traits.matched]} of\n" if traits.matched in kinds else ""


def asked_of(texts: Sequence[str], within: float) -> list[Asked]:
    """What sentences ask of a plant; a refusal for one that cannot be read."""
    from bedfellow.traits_db.search.asked import asked

    try:
        return [asked(text, within) for text in texts]
    except ValueError as error:
        refuse(str(error))


def _of_site(file: Path, store: Store) -> list[Asked]:
    """What the site of a plan asks of a plant."""
    from bedfellow.linter.repair.gap import wanted

    site = border_read(file, store).plan.site
    asks = wanted(site.ph, site.moisture, site.minimum_temperature, ())
    if not asks:
        refuse(f"{file} says neither pH, nor moisture, nor the minimum temperature of its site")
    return asks


def _found_as_text(asked: Sequence[Asked], answer: Answer, shown: Sequence[Candidate]) -> str:
    from bedfellow.linter.report.page import CAUTION, said
    from bedfellow.linter.table import share, table

    # What all of them meet in full needs no column, unless the figure itself tells something.
    columns = dict.fromkeys(
        wanted.trait.name
        for place, wanted in enumerate(asked)
        if wanted.trait.kind in ("measure", "window") or any(candidate.fits[place].share < 1 for candidate in shown)
    )
    rows = []
    for candidate in shown:
        values = {part.asked.trait.name: part for part in candidate.fits}
        told = [
            said(values[name].asked.trait, fact.value) if (fact := values[name].fact) else "not known"
            for name in columns
        ]
        rows.append((candidate.traits.name, share(candidate.score), *told))
    number = len(answer.candidates)
    counted = f"{number:,} plant{'s' if number != 1 else ''}" + (
        f", the first {len(shown)} shown" if number > len(shown) else ""
    )
    if answer.unknown:
        counted += f"; of {answer.unknown:,} more it is not known"
    if not shown:
        return f"no plant is known to be all of this{f'; of {answer.unknown:,} it is not known' if answer.unknown else ''}\n"
    headings = ("plant", "fit", *(name.replace("_", " ") for name in columns))
    return _paragraphs(table(headings, rows), counted + "\n", CAUTION)


def _found_as_json(asked: Sequence[Asked], answer: Answer, shown: Sequence[Candidate]) -> str:
    from bedfellow.linter.report.page import CAUTION
    from bedfellow.linter.report.plain import as_json

    plants = [
        {
            "name": candidate.traits.name,
            "fit": round(candidate.score, 3),
            "reasons": [
                {
                    "asked": part.asked.text,
                    "fit": part.share,
                    "trait": part.asked.trait.name,
                    **_in_use(part.asked.trait, part.fact),
                }
                for part in candidate.fits
            ],
        }
        for candidate in shown
    ]
    return as_json(
        {
            "asked": [wanted.text for wanted in asked], "caution": CAUTION, "found": len(answer.candidates),
            "not_known": answer.unknown, "plants": plants,
        }
    )  # fmt: skip


def _as_data(traits: TaxonTraits, names: Sequence[str] | None = None) -> dict[str, Any]:
    """A plant with its values in use, or with those of some traits, as a record would say them."""
    from bedfellow.schema.traits import trait_table

    rows = {name: row for name, row in trait_table().traits.items() if names is None or name in names}
    values = {name: _in_use(row, fact) for name, row in rows.items() if (fact := traits.fact(name)) is not None}
    return {"name": traits.name, "rank": traits.rank, "traits": values}


def _in_use(trait: Trait, fact: Fact | None) -> dict[str, Any]:
    from bedfellow.schema.cells import plain_value

    if fact is None:
        return {"value": None}
    value = plain_value(trait, fact.value)
    return {"value": value, "level": fact.level, "source": fact.source, "confidence": fact.confidence}
