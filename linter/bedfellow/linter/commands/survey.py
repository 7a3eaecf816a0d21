"""``bedfellow cad import``: a plan from a drawing or a table of positions, or their places in a plan that is there."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import isfinite, nan
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from bedfellow.linter.commands.grown import border_read
from bedfellow.linter.commands.shared import Form, FormOption, ReplaceOption, SeparatorOption, separator_of
from bedfellow.linter.console import free, refuse, rewrite, write
from bedfellow.linter.opening import RecordsOption, data_of, library_of

if TYPE_CHECKING:
    from bedfellow.linter.report.survey import Outcome, Small
    from bedfellow.linter.survey.drawn import Drawing
    from bedfellow.linter.survey.layers import Role
    from bedfellow.schema.geometry import Point
    from bedfellow.traits_db.snapshot import Store


class Asked(NamedTuple):
    """What is to be read and how: layer (in small letters) → what it holds, the unit, the sign between columns, the front's ends."""

    file: Path
    roles: dict[str, Role]
    unit: str | None
    separator: str
    front: tuple[Point, Point] | None


SEASON = 10  # in which the spread drawn is compared
LOOKED_UP = 30  # names


def take(
    file: Annotated[Path, typer.Argument(help="DXF drawing, or CSV with x, y and key or name.")],
    output: Annotated[Path | None, typer.Option(help="The plan to write.")] = None,
    into: Annotated[
        Path | None, typer.Option("--into", help="A plan whose lines get their places from it, by key.")
    ] = None,
    layer: Annotated[
        list[str] | None,
        typer.Option(
            "--layer", metavar="NAME=WHAT", help="What a layer holds: plants, beds, drifts, fence, lawn …, nothing."
        ),
    ] = None,
    unit: Annotated[
        str | None, typer.Option(help="Unit of the file: m, cm, mm, km, ft or in; else as the drawing says.")
    ] = None,
    front: Annotated[
        str,
        typer.Option(
            metavar="X,Y X,Y", help="Left and right end of the front edge in the drawing; else it runs along x."
        ),
    ] = "",
    separator: SeparatorOption = "comma",
    replace: ReplaceOption = False,
    records: RecordsOption = None,
    form: FormOption = Form.text,
) -> None:
    """Make a plan of a drawing, or take its positions into one; all that was not understood is listed.

    Exit status 1 where the plan that came of it has faults, such as a plant outside the bed.
    """
    from bedfellow.linter.report.plain import plain
    from bedfellow.linter.report.survey import as_data, in_words
    from bedfellow.linter.survey.drawn import BadDrawing

    if (output is None) is (into is None):
        refuse("say either --output, for a new plan, or --into, for one that is there")
    if output is not None:
        free(output, replace, file)
    asked = Asked(file, _roles(layer or []), unit, separator_of(separator), _ends(front))
    if unit is not None:
        from bedfellow.schema.units import METRES

        if unit not in METRES:
            refuse(f"--unit is one of {', '.join(METRES)}, not '{unit}'")
    try:
        if into is not None:
            text, former, outcome = _into(into, asked, records)
            if text != former:
                rewrite(into, former, text)
        else:
            assert output is not None
            text, outcome = _new(output, asked, records)
            write(text, output)
    except BadDrawing as bad:
        refuse("\n".join(plain(line) for line in str(bad).splitlines()))
    write((as_data if form is Form.json else in_words)(outcome), None)
    if outcome.faults:
        raise typer.Exit(1)


def _new(output: Path, asked: Asked, records: list[Path] | None) -> tuple[str, Outcome]:
    """The text of the plan that comes of it, and what there is to say."""
    from bedfellow.linter.report.survey import Outcome
    from bedfellow.linter.survey.drawn import BadDrawing
    from bedfellow.linter.survey.entries import entries
    from bedfellow.linter.survey.planned import frame_of, new_plan

    store = data_of(records).store
    drawing = _read(asked, store)
    frame = frame_of(drawing, asked.front)
    found = entries(frame.placed(drawing), store)
    if not found.lines and not any(found.lists.values()):
        raise BadDrawing(f"{asked.file}: nothing in it was understood{_why(drawing)}")
    text = new_plan(asked.file.stem, found, frame, drawing)
    faults, small = _judged(text, output, store, {line.key or line.name: line.drawn for line in found.lines})
    near = _near(store, found.unknown)
    return text, Outcome(str(asked.file), drawing, frame, found, near, small, faults, None)


def _into(plan_file: Path, asked: Asked, records: list[Path] | None) -> tuple[str, str, Outcome]:
    """The text of the plan with the places, its former text, and what there is to say."""
    from bedfellow.linter.report.survey import Outcome
    from bedfellow.linter.survey.drawn import BadDrawing
    from bedfellow.linter.survey.entries import entries
    from bedfellow.linter.survey.into import moved_into
    from bedfellow.linter.survey.planned import frame_in

    border = border_read(plan_file, library_of(records or []))
    if not border.plan.complete:
        refuse(f"parts of {plan_file} could not be read; mend them first: 'bedfellow lint' tells which")
    drawing = _read(asked, border.store)
    frame = frame_in(border.plan, drawing, asked.front)
    found = entries(frame.placed(drawing), border.store)
    if not found.lines:
        raise BadDrawing(f"{asked.file}: no plant in it was understood{_why(drawing)}")
    moved = moved_into(border.plan, found.lines)
    after, small = _judged(moved.text, plan_file, border.store, {line.key: line.drawn for line in found.lines})
    unknown = [line.name for line in found.lines if line.key in moved.added and line.name in found.unknown]
    near = _near(border.store, list(dict.fromkeys(unknown)))
    return (
        moved.text,
        border.plan.document.text,
        Outcome(str(asked.file), drawing, frame, found, near, small, [*moved.otherwise, *after], moved),
    )


def _near(store: Store, unknown: Sequence[str]) -> list[tuple[str, Sequence[str]]]:
    """Names that no plant has, the first of them with the nearest names: looking for these takes its time."""
    return [(name, store.near(name) if number < LOOKED_UP else ()) for number, name in enumerate(unknown)]


def _why(drawing: Drawing) -> str:
    if not drawing.left:
        return ""
    rows = [f"  {n} {kind} on layer {layer or '-'}: {why}" for (layer, kind, why), n in sorted(drawing.left.items())]
    return "; say what its layers hold with --layer NAME=plants\n" + "\n".join(rows[:20])


def _read(asked: Asked, store: Store) -> Drawing:
    """The drawing or the table in a file."""
    from bedfellow.linter.progress import progress

    if asked.file.suffix.lower() in (".csv", ".tsv", ".txt"):
        from bedfellow.linter.survey.table import read as read_table

        return read_table(asked.file, asked.separator, asked.unit)
    if asked.file.suffix.lower() != ".dxf":
        refuse(f"{asked.file}: a drawing ends in .dxf, a table of positions in .csv")
    needs_ezdxf()
    from bedfellow.linter.survey.dxf import read as read_dxf

    with progress("reading the drawing") as tell:
        tell(0)
        return read_dxf(asked.file, asked.roles, asked.unit, lambda name: store.find([name])[name] is not None, tell)


def _judged(text: str, file: Path, store: Store, drawn: dict[str, float | None]) -> tuple[list[str], list[Small]]:
    """What is wrong with a plan by its schema and its geometry, and the plants drawn smaller than they will be."""
    from bedfellow.linter.report.survey import Small
    from bedfellow.linter.survey.drawn import BadDrawing
    from bedfellow.rules.border.border import Border
    from bedfellow.schema.decode import plan_from
    from bedfellow.schema.reader import read_text
    from bedfellow.schema.validity import faults as schema_faults

    document = read_text(text, str(file))
    wrong = [*document.faults, *schema_faults(document)]
    if wrong:
        raise BadDrawing("what was read makes no plan:\n" + "\n".join(document.told(fault) for fault in wrong))
    plan, misplaced = plan_from(document)
    assert plan is not None
    border, small = Border(plan, store), []
    for planting in border.plantings:
        spread, size = drawn.get(planting.key) or drawn.get(planting.traits.name), border.size(planting, SEASON)
        if spread and size and round(spread, 2) < round(size.spread.typical, 2):
            small.append(Small(planting.title, round(spread, 2), round(size.spread.typical, 2)))
    return [document.told(fault) for fault in misplaced], small


def _roles(asked: list[str]) -> dict[str, Role]:
    from bedfellow.linter.survey.layers import asked_role

    roles = {}
    for entry in asked:
        name, sign, word = entry.rpartition("=")
        if not sign or not name.strip():
            refuse(f"--layer is '{entry}'; write a layer and what it holds, such as 'Shrubs 2=plants'")
        try:
            roles[name.strip().casefold()] = asked_role(word)
        except ValueError as error:
            refuse(f"--layer {entry}: {error}")
    return roles


def _ends(front: str) -> tuple[Point, Point] | None:
    """The ends of the front edge, in the unit and the frame of the drawing, which may be far from its origin."""
    if not front:
        return None
    found = re.fullmatch(r"\s*(\S+?),(\S+)\s+(\S+?),(\S+)\s*", front)
    try:
        x0, y0, x1, y1 = map(float, found.groups() if found else "")
    except ValueError:
        x0 = y0 = x1 = y1 = nan
    if not all(map(isfinite, (x0, y0, x1, y1))) or (x0, y0) == (x1, y1):
        refuse(f"--front is '{front}'; write two places in the drawing's unit, such as '120,40 127.5,43'")
    return (x0, y0), (x1, y1)


def needs_ezdxf() -> None:
    """A refusal where the library for DXF is not installed."""
    try:
        import ezdxf  # noqa: F401
    except ImportError:
        refuse("DXF needs the library ezdxf: pip install 'bedfellow[handover]'")
