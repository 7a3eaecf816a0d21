"""WINTER-02 to -05: a lopsided or a static skeleton, stems cut before they are seen, and stem colour that fades."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.border.sight import elevation
from bedfellow.rules.finding import UNRECOGNISED, Finding, Unjudged
from bedfellow.rules.winter.skeleton import GROWN, skeleton
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

WINTER = (11, 12, 1, 2)
BEFORE = (9, 10, *WINTER)
STEMS = ("winter_outline", "standing_stems", "seedhead")
RENEWS = ("cut", "coppic", "pollard", "stool", "prun", "thin")


def lopsided(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """One long run of the frontage has no form in January."""
    left, right = border.frontage()
    brief, styles = border.plan.brief, {bed.style for bed in border.plan.borders}
    if "meadow" in styles or (brief and brief.winter_matters is False):
        return
    if right - left <= 0 or not any(view.side in ("front", "back") for view in border.views):
        return
    start, end = skeleton(border, GROWN, limits["height"]).gap
    length, longest = round(end - start, 1), min(limits["run"], limits["share"] * (right - left))
    # On a short frontage a third of it is the length of one shrub.
    if length <= max(longest, limits["least"]):
        return
    yield Finding(
        "warning", (), ("plants",),
        {"length": length, "start": start - left, "frontage": right - left, "height": limits["height"], "month": border.month_here(1)},
        case="all" if length >= right - left - 0.2 else "run",
    )  # fmt: skip


def cut_too_soon(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A task takes stems and seedheads that would hold the border in winter: one finding a task."""
    brief = border.plan.brief
    if brief and brief.winter_matters is False:
        return
    before, winter = [border.month_here(m) for m in BEFORE], [border.month_here(m) for m in WINTER]
    for number, task in enumerate(border.plan.tasks):
        if "cut" not in task.task.lower() or task.month not in before:
            continue
        after = [month for month in winter if before.index(month) > before.index(task.month)]
        lost: list[tuple[float, Planting]] = []
        for planting in border.plantings:
            if planting.key not in task.plants or not planting.rises_yearly or planting.evergreen:
                continue
            windows = [window for trait in STEMS if (window := border.window(planting, trait))]
            spans = [(window.start.typical, window.end.typical) for window in windows]
            months = max((sum(share_of_month(span, month) for month in after) for span in spans), default=0.0)
            if round(months, 1) > limits["months"]:
                lost.append((months, planting))
        if lost:
            yield Finding(
                "warning", tuple(sorted(planting.key for _, planting in lost)), task.path,
                {"task": task.task, "month": task.month, "plants": listed([planting.title for _, planting in lost]),
                 "months": round(max(months for months, _ in lost)), "until": border.month_here(2)},
                tuple((planting.path, planting.key) for _, planting in lost), apart=(f"task {number + 1}",),
            )  # fmt: skip


def static(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A mixed border where evergreens stand tallest along most of the front, the same in June and in January."""
    left, right = border.frontage()
    styles = {bed.style for bed in border.plan.borders} | {border.plan.brief.style if border.plan.brief else None}
    if right - left <= 0 or "mixed" not in styles or "formal" in styles:
        return
    if border.strangers:
        yield UNRECOGNISED
        return
    green, rest = (
        [
            (x, crown)
            for planting in border.of_the_bed
            if planting.evergreen == kind
            and border.present(planting, GROWN)
            and (crown := border.crown(planting, GROWN))
            for x, _ in planting.points
        ]
        for kind in (True, False)
    )
    pairs = list(zip(elevation(left, right, green), elevation(left, right, rest), strict=True))
    share = round(sum(ever >= max(limits["height"], other) for ever, other in pairs) / len(pairs), 2)
    if share > limits["share"]:
        yield Finding(
            "note",
            (),
            ("plants",),
            {"share": share, "limit": limits["share"], "height": limits["height"], "season": GROWN},
        )


def faded(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Shrubs with colour on young wood that nothing renews: one finding names all."""
    old = []
    for planting in border.plantings:
        young = planting.traits.yes("coloured_young_wood")
        if young is None and planting.life_form in ("tree", "shrub"):
            yield Unjudged(planting.key, ("coloured_young_wood",), planting.path)
        elif young and not _renewed(border, planting, limits["every"]):
            old.append(planting)
    if old:
        yield Finding(
            "warning", tuple(sorted(planting.key for planting in old)), old[0].path,
            {"plants": listed([planting.title for planting in old]), "every": limits["every"], "month": border.month_here(3)},
            tuple((planting.path, planting.key) for planting in old[1:]), case="one" if len(old) == 1 else "several",
        )  # fmt: skip


def _renewed(border: Border, planting: Planting, every: float) -> bool:
    """The line or a task has it cut often enough."""
    often = [task for task in border.plan.tasks if (task.every or 1) <= every]
    if any(planting.key in task.plants and any(word in task.task.lower() for word in RENEWS) for task in often):
        return True
    cut = border.cut(planting)
    return bool((cut and cut.every <= every) or planting.line.clipped or planting.line.pruned_to)
