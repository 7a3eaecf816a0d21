"""How much larger or smaller a plant grows than in an ordinary garden, for its soil and exposure.

All figures are common practice and small: recorded sizes are of open gardens inland on soil that suits the plant. What a
plant bears, or wants, decides: a lean-lover is no smaller on poor soil.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bedfellow.traits_db.facts import TaxonTraits

FERTILITY: Mapping[str, int] = {"poor": 1, "moderate": 2, "rich": 3}
POORER, RICHER = 0.85, 1.1
EXPOSED: Mapping[str, float] = {"exposed": 0.9, "seafront": 0.8}
"""Share of its height that wind leaves a plant which does not bear it well."""
BEARS_WIND = 3
SHALLOW, STUNTED = 0.3, 0.85
"""m of rootable soil under which trees and shrubs stay smaller, and the share of their size that is left."""


def thrift(site: Any, traits: TaxonTraits, woody: bool) -> tuple[float, float]:
    """Height and spread over those of an ordinary garden, each 0.6 to 1.1; 1 where nothing is said."""
    size = 1.0
    wants, fertility = traits.tolerance("fertility"), FERTILITY.get(site.fertility or "")
    if wants is not None and fertility is not None:
        size *= POORER if fertility < wants.lower else RICHER if fertility > wants.upper else 1.0
    if woody and site.soil_depth is not None and site.soil_depth + (site.added_topsoil or 0.0) < SHALLOW:
        size *= STUNTED
    bears = (traits.step("wind") or 0) >= BEARS_WIND
    return size * (1.0 if bears else EXPOSED.get(site.exposure or "", 1.0)), size
