"""Both sides of every plant that was there before, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import told
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.report.retained import ask, trees

if TYPE_CHECKING:
    from bedfellow.linter.repair.retained import Sides


def as_data(answers: Sequence[Sides], season: int) -> str:
    """What `retained.in_words` says, and every figure."""
    return as_json(
        {"season": season, "caution": CAUTION, "trees": trees(), "plants": [_data(sides) for sides in answers]}
    )


def _data(sides: Sides) -> dict[str, object]:
    plant, shading, roots, winter = sides.plant, sides.shading, sides.roots, sides.winter
    return {
        "key": sides.planting.key, "name": sides.planting.traits.name, "known": bool(sides.planting.traits.rank),
        "action": plant.action, "at": plant.at, "in_a_bed": sides.in_bed, "protected": plant.protected, "consent": plant.consent,
        "shows": [
            {"month": s.month, "organs": s.organs, "nothing_else_has": s.alone, "frontage": _pair((s.stays, s.goes)),
             "only": s.only, "mainly": s.mainly}
            for s in sides.shows
        ],
        "winter": winter and {
            "form": _pair(winter.form), "evergreen_ground": _pair(winter.green), "evergreen": winter.evergreen, "has_form": winter.stands,
        },
        "skyline": [
            {"month": line.month, "highest_along": round(line.highest, 2), "height": _pair(line.height),
             "above_a_standing_eye": _pair(line.screened), "in_leaf": line.in_leaf}
            for line in sides.skyline
        ],
        "in_its_lee": None if sides.lee is None else [planting.key for planting in sides.lee],
        "carries": [planting.key for planting in sides.carries],
        "shade": shading and {
            "ground": _rounded(shading.ground), "beneath_its_crown": _rounded(shading.beneath),
            "plants": [
                {"key": row.planting.key, "name": row.planting.traits.name, "june_hours": _pair(row.june),
                 "share_of_beam": _pair(row.share), "judged": {"stays": row.codes[0], "goes": row.codes[1]}}
                for row in shading.plantings
            ],
        },
        "roots": roots and {
            "radius": round(roots.radius, 3), "share_of_ground": _rounded(roots.share),
            "plants": [{"key": planting.key, "members": n, "of": len(planting.points)} for planting, n in roots.plantings],
            "works": roots.works,
        },
        "building": sides.building and {"distance": round(sides.building.distance, 2), "zone": round(sides.building.zone, 2)},
        "hazards": None if (harms := sides.planting.traits.hazards()) is None else [harm._asdict() for harm in harms],
        "if_it_goes": {"new": [told(finding) for finding in sides.outcome.new], "gone": [told(finding) for finding in sides.outcome.gone]},
        "if_it_stays": {"new": [told(finding) for finding in sides.outcome.gone], "gone": [told(finding) for finding in sides.outcome.new]},
        "could_not_judge": [{"what": what, "why": why} for what, why in sides.wanting],
        "ask": list(ask(sides)),
    }  # fmt: skip


def _pair(figures: tuple[float, float]) -> dict[str, float]:
    return {"stays": round(figures[0], 3), "goes": round(figures[1], 3)}


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 3)
