"""Retained or removed: both sides of every plant that was there before, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import filled
from bedfellow.linter.table import share, table
from bedfellow.rules.declaration import declarations
from bedfellow.rules.words import listed, metres, month, months

if TYPE_CHECKING:
    from bedfellow.linter.repair.brings import Skyline
    from bedfellow.linter.repair.retained import Sides
    from bedfellow.linter.repair.takes import Lit
    from bedfellow.rules.border.planting import Planting
    from bedfellow.rules.finding import Finding

NONE = "The plan names no plant that was there before, so there is nothing to keep or to take out.\n"
TREES = (
    "No figure here says whether a tree is sound, safe or worth its place: ask a qualified arborist, who looks at it. Ask the local "
    "authority whether it is protected, by an order or by where it stands, before anything is done, and note the consent. Nests, "
    "roosts and other protected wildlife in it may forbid work at any time or in season. Leave work at height to "
    "licensed people. Local rules come first."
)
STUMP = "Taking out a stump is digging: find buried services first."
HEAVE = (
    "On clay that shrinks, a tree that goes lets the ground swell, and one that stays dries it; both can move a building. "
    "Ask a structural engineer before either."
)
TOO_DARK, TOO_BRIGHT = ("LIGHT-01", "LIGHT-03", "LIGHT-08"), ("LIGHT-02",)
ACTIONS = {"keep": "kept", "move": "moved", "remove": "removed"}


def in_words(answers: Sequence[Sides], season: int) -> str:
    """A part for each plant: what it is, if it goes, if it stays, what could not be judged, and whom to ask."""
    if not answers:
        return NONE
    parts = ["\n".join(_part(sides, season)) for sides in answers]
    ends = [filled(f"{text}") for text in (*([trees()] if any(map(_asked, answers)) else ()), CAUTION)]
    return "\n\n".join(parts) + "\n\n" + "\n".join(ends)


def _part(sides: Sides, season: int) -> Iterator[str]:
    yield filled(_head(sides))
    yield "If it goes"
    yield from (filled(f"- {text}", "  ")[:-1] for text in if_it_goes(sides, season))
    yield "\nIf it stays"
    yield from (filled(f"- {text}", "  ")[:-1] for text in if_it_stays(sides, season))
    if sides.shading and sides.shading.plantings:
        rows = [(row.planting.title, *_lit(row)) for row in sides.shading.plantings]
        headings = (
            f"sun in season {season}",
            "midsummer: stays",
            "goes",
            "of the beam: stays",
            "goes",
            "found: stays",
            "goes",
        )
        yield "\n" + table(headings, rows)[:-1]
    for what, why in sides.wanting:
        yield "\n" + filled(f"Could not judge {what}: {why}.")[:-1]
    for text in ask(sides):
        yield "\n" + filled(text)[:-1]


def _head(sides: Sides) -> str:
    plant = sides.plant
    said = [f"the plan has it {ACTIONS.get(plant.action, plant.action)}"]
    said += [f"{plant.height:g} m high now"] if plant.height else []
    said += [f"crown {2 * sides.planting.reach:g} m across"] if sides.planting.reach else []
    said += [] if sides.in_bed else ["its stem stands outside the beds"]
    x, y = plant.at
    return f"{sides.planting.title}, at ({x:g}, {y:g}): {'; '.join(said)}."


def if_it_goes(sides: Sides, season: int) -> Iterator[str]:
    """What is lost, and what is to be found then."""
    yield from _months_lost(sides, season)
    for line in sides.skyline:
        yield _skyline(line, season)
    winter = sides.winter
    if winter and sides.in_bed:
        if winter.form[0] != winter.form[1]:
            yield f"In the winter after season {season} {share(winter.form[1])} of the frontage has a form, not {share(winter.form[0])}."
        if winter.green[0] != winter.green[1]:
            yield f"Evergreens cover {share(winter.green[1])} of the ground, not {share(winter.green[0])}."
        if winter.evergreen is not None and winter.form[0] == winter.form[1] and winter.green[0] == winter.green[1]:
            yield "As much of the frontage has a form in winter without it, and as much of the ground is evergreen."
    if sides.lee is not None:
        lee = f"These stand in its lee: {listed(_titles(sides.lee))}. One plant breaks the wind less than a hedge does, and SITE-04 does not count it"
        yield f"{lee if sides.lee else 'Nothing stands in its lee'}."
    if sides.carries:
        yield f"What climbs through it would have nothing to climb: {listed(_titles(sides.carries))}."
    for finding in sides.outcome.new:
        yield f"It would bring {finding.level} {finding.code}: {finding.message}"
    if not sides.outcome.new:
        yield "It would bring no error and no warning."
    for finding in sides.outcome.gone:
        yield f"It would clear {finding.level} {finding.code}: {finding.message}"


def _months_lost(sides: Sides, season: int) -> Iterator[str]:
    if sides.shows:
        organs = {
            organ: [s.month for s in sides.shows if organ in s.organs] for show in sides.shows for organ in show.organs
        }
        yield f"Gone with it: {listed([f'{_organ(organ)} ({_months(when)})' for organ, when in organs.items()])}."
    alone = {organ: [s.month for s in sides.shows if organ in s.alone] for show in sides.shows for organ in show.alone}
    for organ, when in alone.items():
        yield (
            f"Nothing else has {_organ(organ)} in {months(when)}."
            if len(when) < 12
            else f"Nothing else has {_organ(organ)}."
        )
    if only := [show.month for show in sides.shows if show.only]:
        yield f"In {months(only)} nothing else along the front has anything to look at."
    if mainly := [show.month for show in sides.shows if show.mainly]:
        yield f"In {months(mainly)} half or more of what the front has to look at is its."
    parts = [
        f"{month(show.month)} {share(show.goes)}, not {share(show.stays)}"
        for show in sides.shows
        if show.stays - show.goes >= 0.01
    ]
    if parts:
        yield f"Frontage with anything to look at in season {season}: {'; '.join(parts)}."
    elif sides.shows and sides.in_bed:
        yield "As much of the frontage has something to look at in every month without it."


def _skyline(line: Skyline, season: int) -> str:
    leaves = "" if line.in_leaf is None else " is in leaf and" if line.in_leaf else " is bare and"
    when = f"In the middle of {month(line.month)} of season {season} it{leaves}"
    if not line.highest:
        return f"{when} rises above the others nowhere along the front."
    left = f"{metres(line.height[1])} would be left" if line.height[1] >= 0.005 else "nothing would be left"
    screen = line.screened[0] - line.screened[1]
    hides = f"; {metres(screen)} of the front less would be above a standing eye" if screen > 0.005 else ""
    return f"{when} is the highest along {metres(line.highest)} of the front: up to {metres(line.height[0])}, where {left}{hides}."


def if_it_stays(sides: Sides, season: int) -> Iterator[str]:
    """What it takes from the rest, and what is to be found then."""
    shading = sides.shading
    if shading:
        if shading.ground is not None and shading.beneath is not None:
            yield f"{_part_of(shading.ground)} of the beds' ground loses a tenth of the sun or more by it, and {_part_of(shading.beneath)} lies beneath its crown, in season {season}."
        darker = [row.planting.title for row in shading.plantings if _worse(row.codes, TOO_DARK)]
        if darker:
            yield f"For want of light because of it: {listed(darker)}."
        elif shading.plantings:
            yield f"It takes sun from {len(shading.plantings)} of the lines, and none gets too little by it."
        else:
            yield "It takes no sun from any planting."
        bright = [row.planting.title for row in shading.plantings if _worse(row.codes[::-1], TOO_BRIGHT)]
        if bright:
            yield f"It keeps the sun off {listed(bright)}, to which it would be too much."
    roots = sides.roots
    if roots and roots.radius:
        part = f", {_part_of(roots.share)} of the beds' ground" if roots.share is not None else ""
        yield f"Its roots are to be protected within {metres(roots.radius)} of the stem (BS 5837:2012){part}."
        if roots.plantings:
            yield f"Planted there, by hand in single pits only: {listed([_members(p, n) for p, n in roots.plantings])}."
        if roots.works:
            yield f"Work on the ground comes within it: {listed(sorted(set(roots.works)))}."
    yield from _harms(sides)
    kept, spared = sides.outcome.gone, sides.outcome.new
    yield f"It keeps on the plan {_coded(kept)}." if kept else "It keeps no error and no warning on the plan."
    if spared:
        yield f"It spares the plan {_coded(spared)}."


def _harms(sides: Sides) -> Iterator[str]:
    hazards = sides.planting.traits.hazards()
    if hazards:
        worst = ("", "minor", "marked", "severe")
        yield f"It is known to harm: {listed([f'{h.who} ({h.how}, {h.part}: {worst[h.severity]})' for h in hazards])}. Ask a poison centre, doctor or vet."
    elif sides.planting.traits.rank:
        yield (
            "No entry on hazards was found, which does not mean safe."
            if hazards is None
            else "No hazard of it is known, and no list is complete."
        )


def ask(sides: Sides) -> Iterator[str]:
    """Whom to ask, before either is decided."""
    plant = sides.plant
    if not _asked(sides):
        return
    state: dict[bool | None, str] = {
        True: "The plan says that it is protected",
        False: "The plan says that it is not protected",
    }
    said = state.get(plant.protected, "The plan does not say whether it is protected")
    consent = (
        f", with consent {plant.consent}" if plant.consent else ", and notes no consent" if plant.protected else ""
    )
    yield f"Ask first. {said}{consent}."
    if sides.building:
        yield f"A building stands {metres(sides.building.distance)} off, and its roots may reach {metres(sides.building.zone)} (NHBC Standards, chapter 4.2). {HEAVE}"


def _asked(sides: Sides) -> bool:
    """A tree, or what may be one."""
    planting = sides.planting
    return planting.is_tree or bool(sides.plant.stems or sides.plant.protected) or not planting.traits.rank


def trees() -> str:
    """What must be said beside anything about a tree."""
    return f"{TREES} {STUMP} {' '.join(declarations()['TREE-01'].caution.split())}"


def _worse(codes: tuple[tuple[str, ...], tuple[str, ...]], of: Sequence[str]) -> bool:
    """A check of these finds something in the first state that it does not in the second."""
    return bool((set(codes[0]) - set(codes[1])) & set(of))


def _members(planting: Planting, number: int) -> str:
    whole = len(planting.points)
    return planting.title if whole == 1 else f"{planting.title} with {number} of its {whole}"


def _coded(findings: Sequence[Finding]) -> str:
    return listed([f"{one.code} ({', '.join(one.keys)})" if one.keys else one.code for one in findings])


def _titles(plantings: Sequence[Planting]) -> list[str]:
    return [planting.title for planting in plantings]


def _organ(name: str) -> str:
    return name.replace("_", " ")


def _months(numbers: Sequence[int]) -> str:
    return "all year" if len(numbers) == 12 else months(numbers)


def _lit(row: Lit) -> tuple[str, ...]:
    hours, parts = (f"{hours:.1f}" for hours in row.june), (share(part) for part in row.share)
    return (*hours, *parts, *(" ".join(codes) for codes in row.codes))


def _part_of(part: float) -> str:
    return "less than 1%" if 0 < part < 0.005 else share(part)
