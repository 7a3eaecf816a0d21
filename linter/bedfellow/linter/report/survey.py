"""What was read of a drawing and what became of it, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.parts import filled
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.table import table
from bedfellow.rules.words import listed, metres

if TYPE_CHECKING:
    from bedfellow.linter.survey.drawn import Drawing, Frame
    from bedfellow.linter.survey.entries import Entries
    from bedfellow.linter.survey.into import Moved

SHOWN = 30  # of a long list in words; the data have all


class Small(NamedTuple):
    """A plant that is drawn smaller than it will be: title, spread drawn and spread in season 10, in m."""

    title: str
    drawn: float
    spread: float


class Outcome(NamedTuple):
    """near: a name that no plant has, with the nearest names; faults: what is wrong with the plan that came of it."""

    file: str
    drawing: Drawing
    frame: Frame
    found: Entries
    near: Sequence[tuple[str, Sequence[str]]]
    small: Sequence[Small]
    faults: Sequence[str]
    moved: Moved | None


def in_words(outcome: Outcome) -> str:
    """A paragraph or table for each thing that there is to say."""
    return "\n".join(_parts(outcome))


def _parts(outcome: Outcome) -> Iterator[str]:
    drawing, frame = outcome.drawing, outcome.frame
    x, y = frame.origin
    where = (
        f"; the plan's origin lies at ({x:.3f}, {y:.3f}) m in it"
        if (x, y) != (0.0, 0.0)
        else "; the plan's origin is its own"
    )
    turned = f", the front turned by {_degrees(frame):.3f}°" if frame.turn else ""
    yield filled(f"{outcome.file}: read in {drawing.unit}, {drawing.told}{where}{turned}.")
    if rows := [(layer or "(the table)", role, number) for (layer, role), number in sorted(drawing.taken.items())]:
        yield table(("layer", "taken for", "things"), rows)
    yield filled(_made(outcome))
    if drawing.nearly:
        curves = listed([f"{number} of type {kind}" for kind, number in sorted(drawing.nearly.items())])
        yield filled(f"Curves became straight pieces within 1 cm of them: {curves}.")
    for note in outcome.found.notes:
        yield filled(note)
    for name, near in outcome.near[:SHOWN]:
        yield filled(
            f"No plant is called '{name}'; it is kept as written." + (f" Nearest: {', '.join(near)}." if near else "")
        )
    if len(outcome.near) > SHOWN:
        yield f"… and {len(outcome.near) - SHOWN} more names that no plant has\n"
    if outcome.small:
        sizes = [(small.title, metres(small.drawn), metres(small.spread)) for small in outcome.small[:SHOWN]]
        yield table(("drawn smaller than it will be", "drawn spread", "in season 10"), sizes)
    if drawing.left:
        left = [(layer or "", kind, number, why) for (layer, kind, why), number in sorted(drawing.left.items())]
        yield table(("left out: layer", "type", "number", "why"), left)
    for fault in outcome.faults:
        yield filled(fault, "    ")


def _degrees(frame: Frame) -> float:
    from math import degrees

    return degrees(frame.turn)


def _made(outcome: Outcome) -> str:
    moved = outcome.moved
    if moved is not None:
        parts = [
            f"{word}: {listed(keys[:SHOWN])}{f' and {len(keys) - SHOWN} more' if len(keys) > SHOWN else ''}"
            for word, keys in (("moved", moved.moved), ("added", moved.added), ("as they were", moved.still), ("not in the drawing and left as they are", moved.absent))
            if keys
        ]  # fmt: skip
        return f"Lines {'; '.join(parts)}." if parts else "No line of plants was read."
    lists = outcome.found.lists
    plants = sum(len(line.at) for line in outcome.found.lines)
    parts = [f"{len(outcome.found.lines)} lines of plants at {plants} places"]
    parts += [f"{name}: {len(some)}" for name, some in lists.items()]
    return f"Made {'; '.join(parts)}. Heights, soil and site are not in a drawing; add them."


def as_data(outcome: Outcome) -> str:
    """The same as JSON."""
    drawing, moved = outcome.drawing, outcome.moved
    return as_json(
        {
            "file": outcome.file, "unit": drawing.unit, "metres": drawing.metres, "unit_is": drawing.told,
            "origin": outcome.frame.origin, "turn": round(_degrees(outcome.frame), 3),
            "layers": [{"layer": layer, "taken_for": role, "things": n} for (layer, role), n in sorted(drawing.taken.items())],
            "lines": [{"key": line.key, "name": line.name, "places": len(line.at)} for line in outcome.found.lines],
            "other": {name: len(some) for name, some in outcome.found.lists.items()},
            "moved": moved and {"moved": moved.moved, "added": moved.added, "unchanged": moved.still, "absent": moved.absent},
            "curves": dict(sorted(drawing.nearly.items())), "notes": outcome.found.notes,
            "unknown": [{"name": name, "nearest": near} for name, near in outcome.near],
            "drawn_small": [small._asdict() for small in outcome.small],
            "left_out": [{"layer": layer, "type": kind, "number": n, "why": why} for (layer, kind, why), n in sorted(drawing.left.items())],
            "faults": outcome.faults,
        }
    )  # fmt: skip
