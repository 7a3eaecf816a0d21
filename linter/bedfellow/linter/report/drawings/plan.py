"""The planting plan to scale: crowns in a season, drifts and keys, what stands about them, and the findings where they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import compass, findings, plants, setting, signs
from bedfellow.linter.report.drawings.asked import SCALES
from bedfellow.linter.report.drawings.columns import Row, Strip, entry, heading, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.frame import EDGE, Frame, box_of, scale_for
from bedfellow.linter.report.drawings.legend import LEGEND
from bedfellow.linter.report.drawings.names import Name, named
from bedfellow.linter.report.drawings.sheet import (
    TEXT,
    THIN,
    CannotDraw,
    Drawing,
    Pen,
    element,
    group,
    moved,
    rect,
    text,
)
from bedfellow.linter.report.drawings.typeface import Span, botanical
from bedfellow.linter.report.page import with_caution
from bedfellow.linter.report.parts import in_order, title_of
from bedfellow.rules.words import month

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.linter.report.drawings.signs import Mark
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

KEY, SIGN = 16.0, 17.0  # mm: columns of keys and of signs
FOOT = 16.0  # mm below the plan, for scale bar and north point


def drawn(result: Result, asked: Asked) -> Drawing:
    """The planting plan. Raises CannotDraw."""
    border = border_of(result)
    box = box_of(border, asked.season)
    told = findings.listed(result) if asked.findings else findings.cautions(result)
    scale = scale_for(box[2] - box[0], box[3] - box[1], asked.scale)
    frame = Frame(scale, box, EDGE + 4, EDGE + 4)
    rows = [*_schedule(border), *_legend(_marks(border, frame, asked.season)), *_notes(result, asked), *told]
    layout = laid_out(frame.width, frame.height + FOOT, rows, fills=True)
    for larger in SCALES if asked.scale is None else ():
        # A sheet that is larger for what is told beside the plan may take it at a larger scale.
        other = frame._replace(scale=larger)
        found = laid_out(other.width, other.height + FOOT, rows, fills=True)
        if larger < scale and found.paper == layout.paper:
            frame, layout, scale = other, found, larger
            break
    frame = frame.filling(layout.width, layout.height - FOOT)
    marks = _marks(border, frame, asked.season)
    left, top, right, bottom = frame.edges
    parts = [
        group([mark.svg for mark in marks], clip_path="url(#piece)"),
        rect(left, top, frame.width, frame.height, Pen(THIN)), rect(left, bottom, frame.width, FOOT, Pen(THIN)),
        *named(_names(result, border, frame, asked), frame.edges),
        *compass.north(border, right - 11.0, bottom + FOOT / 2 + 1.2, size=4.6), *compass.scale_bar(scale, left + 6, bottom + FOOT - 4.5),
        *layout.rows,
    ]  # fmt: skip
    clip = element("clipPath", rect(left, top, frame.width, frame.height, Pen(0)), id="piece")
    strip = strip_of(result, "Planting plan", (("scale", f"1:{scale}"), ("crowns in season", str(asked.season))))
    return sheet("plan", strip, layout.paper, parts, [clip, *signs.patterns(parts)])


def _marks(border: Border, frame: Frame, season: int) -> list[Mark]:
    """All signs of the plan, from the ground up."""
    return [
        *setting.ground(border.plan, frame), *plants.crowns(border, frame, season), *setting.lines(border.plan, frame), *setting.structures(border.plan, frame),
        *plants.middles(border, frame, season),
    ]  # fmt: skip


def border_of(result: Result) -> Border:
    """The border of a result. Raises CannotDraw where there is none."""
    from bedfellow.linter.engine import unreadable

    if result.border is None:
        raise CannotDraw(
            f"there is nothing to draw, for it cannot be read as a plan: {unreadable(result.faults.values())}"
        )
    return result.border


def strip_of(result: Result, picture: str, further: Sequence[tuple[str, str]]) -> Strip:
    """The title strip of a picture of this plan."""
    return Strip(title_of(result), picture, (*further, ("date", result.today)))


def _names(result: Result, border: Border, frame: Frame, asked: Asked) -> Iterator[Name]:
    """What is written on the plan, the most important first: keys, findings, then what stands about."""
    firsts: dict[str, tuple[float, float]] = {}
    for planting in border.standing:
        groups = [list(planting.points)] if planting.line.outline else plants.links(planting.points)[1]
        for points in groups:
            at = frame.at(setting.middle(points))
            firsts.setdefault(planting.key, at)
            count = f"{len(points)} " if len(points) > 1 else ""
            yield Name(at, f"{count}{planting.key}", "key", lower=0.0 if planting.line.outline else 2.6)
    for line in border.unknown_names:
        points = line.at or line.outline
        if points:
            at = frame.at(setting.middle(points))
            firsts.setdefault(line.key, at)
            yield Name(at, f"{line.stated_quantity or ''} {line.key} ?".strip(), "key", lower=2.6)
    if asked.findings:
        elsewhere = setting.places(border.plan)
        for number, finding in findings.numbered(result.findings):
            keyed = [firsts[key] for key in finding.keys if key in firsts][:2]
            # What is said of no plant stands where its line of the plan is drawn.
            other = elsewhere.get(finding.at[:2])
            for at in keyed or ([frame.at(other)] if other else []):
                yield Name(at, str(number), "finding", level=finding.level, told=finding.message, lower=-4.0)
    for point, words, lower in setting.names(border.plan):
        if frame.shows(point):
            yield Name(frame.at(point), words, "place", lower=lower)


def _stay(planting: Planting) -> str:
    """How long a temporary plant stays."""
    line = planting.line
    if not planting.temporary:
        return ""
    until = f" until {month(line.until[1])} {line.until[0]}" if line.until else ""
    after = f", makes way for {line.makes_way_for}" if line.makes_way_for else ""
    return f" (for a time{until}{after})"


def _schedule(border: Border) -> Iterator[Row]:
    """Key, full name and number of plants."""
    yield heading("Plants")
    numbers: dict[tuple[str, str], int] = {}
    for planting in border.plantings:
        pair = planting.key, planting.traits.name
        numbers[pair] = numbers.get(pair, 0) + (len(planting.points) or planting.line.number)
    for line in border.unknown_names:
        numbers[line.key, line.name] = line.number
    stays = {(p.key, p.traits.name): _stay(p) for p in border.plantings}
    strangers = {(line.key, line.name) for line in border.unknown_names}
    for (key, name), number in sorted(numbers.items(), key=lambda found: in_order(found[0][0])):
        more = " (not known)" if (key, name) in strangers else stays.get((key, name), "")
        yield from entry(key, (*botanical(name), Span(more)), str(number), KEY)
    yield Row(2.0, "")
    if border.plan.retained:
        yield heading("Plants that were there before")
        for plant in border.plan.retained:
            yield from entry(
                plant.key,
                botanical(plant.name),
                {"keep": "stays", "move": "is moved", "remove": "is taken out"}.get(plant.action, plant.action),
                KEY,
            )
        yield Row(2.0, "")


def _legend(marks: Sequence[Mark]) -> Iterator[Row]:
    """The signs that were used."""
    used = {mark.sign for mark in marks}
    yield heading("Signs")
    for name, (words, sample) in LEGEND.items():
        if name in used:
            yield Row(5.6, moved(sample(), 1, 2.8) + text(SIGN, 3.8, words, TEXT))
    yield Row(5.6, moved(signs.crosses([(5, 0)]), 1, 2.8) + text(SIGN, 3.8, "middle of a plant", TEXT))
    yield Row(2.0, "")


def _notes(result: Result, asked: Asked) -> Iterator[Row]:
    yield from paragraph(
        f"Crowns as wide as they are in season {asked.season} after planting. Before digging ask the owners of buried "
        "services; root protection areas are for an arborist to confirm."
    )
    for words in with_caution(result.cautions)[len(result.cautions) :]:  # the others stand below the findings
        yield from paragraph((Span(words, "italic"),))
