"""The site that all plants of a list bear, or the fewest to leave out so that there is one.

Light, pH, soil moisture and fertility can contradict one another; winter cold and wind only add up: the least hardy sets them.
What is not known of a plant is taken to be no obstacle, and told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product
from typing import NamedTuple

from bedfellow.traits_db.facts import TaxonTraits

LIGHT = ("full sun", "part shade", "full shade")
Span = tuple[float, float]
FACTORS = ("light", "pH", "moisture", "fertility")  # in the order in which one is named as the reason
MOISTURE, FERTILITY = (1, 5), (1, 3)  # steps of their scales
PH = (3.0, 10.0)
LIME_HATER = 7.0  # pH that a plant which hates lime bears at most, where no figure is known: common practice


class Bears(NamedTuple):
    """What one plant bears: words of light, (lowest, highest) of the rest; unknown: the factors that are only assumed."""

    light: tuple[str, ...]
    ph: tuple[float, float]
    moisture: tuple[float, float]
    fertility: tuple[float, float]
    unknown: tuple[str, ...]

    @property
    def spans(self) -> tuple[Span, Span, Span]:
        """(lowest, highest) pH, moisture and fertility."""
        return self.ph, self.moisture, self.fertility


class Envelope(NamedTuple):
    """What all plants of a list bear. coldest: °C of the least hardy, with its name; wind: step of the least, with its name."""

    light: tuple[str, ...]
    ph: tuple[float, float]
    moisture: tuple[float, float]
    fertility: tuple[float, float]
    coldest: tuple[float, str] | None
    wind: tuple[int, str] | None


def bears(traits: TaxonTraits) -> Bears:
    """What a plant bears, every factor wide open where nothing is known of it."""
    light = tuple(word for word in LIGHT if word in traits.words("light"))
    ph, moisture, fertility = (traits.tolerance(name) for name in ("ph_tolerated", "moisture", "fertility"))
    unknown = [factor for factor, value in zip(FACTORS, (light, ph, moisture, fertility), strict=True) if not value]
    span = (ph.lower, ph.upper) if ph else PH
    if ph is None and traits.word("lime") == "hates":
        span, unknown = (PH[0], LIME_HATER), [factor for factor in unknown if factor != "pH"]
    return Bears(
        light or LIGHT, span, (moisture.lower, moisture.upper) if moisture else MOISTURE,
        (fertility.lower, fertility.upper) if fertility else FERTILITY, tuple(unknown),
    )  # fmt: skip


def apart(first: Bears, second: Bears) -> str:
    """The first factor in which two plants bear nothing in common; empty where they share a site."""
    if not set(first.light) & set(second.light):
        return "light"
    for factor, one, other in zip(FACTORS[1:], first.spans, second.spans, strict=True):
        if max(one[0], other[0]) > min(one[1], other[1]):
            return factor
    return ""


def envelope(plants: Sequence[TaxonTraits]) -> Envelope | None:
    """What all of them bear; None where there is nothing."""
    borne = [bears(traits) for traits in plants]
    light = tuple(word for word in LIGHT if all(word in one.light for one in borne))
    ph, moisture, fertility = (
        (max(low for low, _ in ends), min(high for _, high in ends))
        for ends in zip(*(one.spans for one in borne), strict=True)
    )
    if not light or any(low > high for low, high in (ph, moisture, fertility)):
        return None
    cold = [(band.lower, traits.name) for traits in plants if (band := traits.tolerance("minimum_temperature"))]
    wind = [(step, traits.name) for traits in plants if (step := traits.step("wind")) is not None]
    return Envelope(light, ph, moisture, fertility, max(cold, default=None), min(wind, default=None))


def fewest_to_leave_out(plants: Sequence[TaxonTraits]) -> tuple[int, ...]:
    """Places in the list of the fewest plants without which the others share a site; exact, the earliest kept of equals.

    A set shares a site only if it shares a point of it, so each point that can matter is asked who bears it: every word
    and step, and each plant's lowest pH.
    """
    borne = [bears(traits) for traits in plants]
    by_light = [_who(word in b.light for b in borne) for word in LIGHT]
    by_ph = [_who(b.ph[0] <= ph <= b.ph[1] for b in borne) for ph in sorted({b.ph[0] for b in borne})]
    by_moisture = [
        _who(b.moisture[0] <= n <= b.moisture[1] for b in borne) for n in range(MOISTURE[0], MOISTURE[1] + 1)
    ]
    by_fertility = [
        _who(b.fertility[0] <= n <= b.fertility[1] for b in borne) for n in range(FERTILITY[0], FERTILITY[1] + 1)
    ]
    most = max(
        (a & b & c & d for a, b, c, d in product(by_light, by_ph, by_moisture, by_fertility)),
        key=lambda who: (who.bit_count(), -(who ^ (1 << len(borne)) - 1)), default=0,
    )  # fmt: skip
    return tuple(place for place in range(len(borne)) if not most >> place & 1)


def _who(answers: Iterable[bool]) -> int:
    """The places of those that say yes, as bits."""
    return sum(1 << place for place, yes in enumerate(answers) if yes)
