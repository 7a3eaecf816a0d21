"""Another plant in the place of one, and plants more where something is missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.changes.repair import Repair, stated, subject
from bedfellow.linter.repair.edit import END, Edit
from bedfellow.linter.repair.gap import NoRoom, fillers, line_of, nearest_free, place, roomiest
from bedfellow.linter.repair.trial import found, quick
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.finding import Finding
from bedfellow.rules.swap.role import differences
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import Point
from bedfellow.schema.values import MONTHS
from bedfellow.traits_db.search.asked import asked

WANTED = 2  # plants that are tried in place of one, or besides
ROUNDS = 4  # places that are filled one after another
BEFORE, MASKS = 0.35, 0.8  # m before a drift stands what hides its leaves, of so much of their height: common practice


def swap(finding: Finding, border: Border, options: Options) -> Iterator[Repair]:
    """Plants that keep the role of the one that the finding names first, each tried in its place."""
    from bedfellow.linter.repair.substitute import substitutes

    planting = subject(finding, border)
    if planting is None or planting.kept or planting.line.mix or planting.line.traits:
        return
    try:
        answer = substitutes(border, planting, (), (), WANTED, quick(options, finding.code))
    except ValueError:  # too little is known of the plant for another to keep its role
        return
    for one in (*answer.good, *answer.near):
        name = one.candidate.traits.name
        if finding.code in {gone.code for gone in one.outcome.gone}:
            words = f"Plant {name} in place of {planting.title}"
            edit = Edit((*planting.path, "name"), name)
            yield Repair(words, (edit,), False, (planting.key,), tuple(differences(answer.role, one.role, one.lost)))


class Wanting(NamedTuple):
    """What a finding misses: what a plant must be, and where it would stand, or the roomiest place."""

    asks: tuple[str, ...]
    near: Point | None = None


def add(finding: Finding, border: Border, options: Options) -> Iterator[Repair]:
    """Plants more, one place after another, until the finding is gone: of each kind that suits the first place one way."""
    wanting = _wanting(finding, border)
    if wanting is None or not isinstance(stated(border, ("plants",)), list):
        return
    only, options = replace(options, only=(finding.code,)), quick(options, finding.code)
    for choice in range(WANTED):
        grown, edits, words = border, [], []
        for _ in range(ROUNDS):
            one = _one_more(grown, wanting, options, choice)
            if one is None:
                break
            grown, item, said = one
            edits.append(Edit(("plants", END), item))
            words.append(said)
            if finding.code not in {f.code for f in found(grown, only)}:
                costs = ("plants that nobody has priced yet",)
                yield Repair(f"Add {' and '.join(words)}", tuple(edits), False, (), costs)
                break
        else:
            return  # so many places are not enough


def _one_more(
    border: Border, wanting: Wanting, options: Options, choice: int
) -> tuple[Border, dict[str, object], str] | None:
    """The border with one more line of plants, that line as the file has it, and in words; None where nothing suits."""
    spot = nearest_free(border, wanting.near) if wanting.near else roomiest(border)
    if spot is None:
        return None
    try:
        answer = fillers(
            border, place(border, spot), [asked(text) for text in wanting.asks], [], "", choice + 1, options
        )
    except NoRoom:
        return None
    if len(answer.good) <= choice:
        return None
    filler = answer.good[choice]
    line = line_of(filler, spot)
    line = replace(line, key=_key(line.name, set(border.by_key)))
    at = [[x, y] for x, y in line.at]
    item: dict[str, object] = {"key": line.key, "name": line.name, "at": at[0] if len(at) == 1 else at}
    number = f"{filler.number} of " if filler.number > 1 else ""
    grown = Border(replace(border.plan, lines=(*border.plan.lines, line)), border.store)
    return grown, item, f"{number}{line.name} ({line.key}) at ({spot[0]:g}, {spot[1]:g})"


def _key(name: str, taken: set[str]) -> str:
    """A key as designers make them: CoM for Cornus mas, with a number where that is taken."""
    genus, *rest = name.replace("×", " ").split()
    key = genus[:2] + next((word.strip("'")[0].upper() for word in rest if word.strip("'")[:1].isalpha()), "")
    return next(one for one in (key, *(f"{key}{n}" for n in range(2, len(taken) + 3))) if one not in taken)


def _wanting(finding: Finding, border: Border) -> Wanting | None:
    """What each code misses; the thresholds are those of its check, and which plant serves is common practice."""
    evidence = finding.evidence
    months = [number for number in _several(evidence.get("months")) if isinstance(number, int)]
    match finding.code:
        case "SEASON-01" if isinstance(number := evidence.get("month"), int):
            return Wanting((f"flower {MONTHS[number - 1]}",))
        case "SEASON-06" | "SEASON-07" if months:
            nectar = ("nectar yes",) if finding.code == "SEASON-07" else ()
            return Wanting((f"flower {MONTHS[months[0] - 1]}", *nectar))
        case "WINTER-01":
            return Wanting(("foliage evergreen", "height at least 60 cm"))
        case "WINTER-02":
            return Wanting(("foliage evergreen", "height at least 60 cm"), _along(border, evidence, "length"))
        case "LAYER-03" | "LAYER-07":
            return Wanting(("life form shrub", "height at least 1 m"), _along(border, evidence, "run"))
        case "LAYER-02":
            low = any("ground cover" in str(text) for text in _several(evidence.get("lacking")))
            return Wanting(("height up to 35 cm", "spread rate at least 1") if low else ("height 60 cm to 1.8 m",))
        case "COVER-01" | "COVER-03" | "FILL-04":
            green = ("foliage evergreen",) if finding.code == "COVER-03" else ()
            at = (float(str(evidence["x"])), float(str(evidence["y"]))) if "x" in evidence and "y" in evidence else None
            return Wanting(("height up to 50 cm", *green), at)
        case "BULB-01" if planting := subject(finding, border):
            masker = float(str(evidence["masker"]))
            return Wanting((f"height {metres(masker)} to {2.5 * masker:.2f} m",), _before(planting))
        case "BULB-02" | "SEASON-05" if planting := subject(finding, border):
            last = int(str(evidence["gone" if finding.code == "BULB-02" else "ends"]))
            return Wanting((f"flower {MONTHS[last % 12]}",), _before(planting))  # in the month after
        case "LAYER-06" if planting := subject(finding, border):
            return Wanting(("height 30 cm to 60 cm",), _before(planting))
    return None


def _before(planting: Planting) -> Point | None:
    """The place before the middle of a planting, from the front."""
    if not planting.points:
        return None
    return sum(x for x, _ in planting.points) / len(planting.points), min(y for _, y in planting.points) - BEFORE


def _several(value: object) -> Sequence[object]:
    return value if isinstance(value, list | tuple) else [value]


def _along(border: Border, evidence: object, length: str) -> Point | None:
    """The middle in depth of the bed at the middle of a run along the front."""
    said = dict(evidence) if isinstance(evidence, dict) else {}
    if not isinstance(said.get("start"), int | float) or not isinstance(said.get(length), int | float):
        return None
    left, front, _, back = border.box
    return left + said["start"] + said[length] / 2, (front + back) / 2
