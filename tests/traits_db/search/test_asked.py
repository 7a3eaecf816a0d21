"""What a sentence asks for, and what is said where it asks for nothing that a plant can have."""

from __future__ import annotations

from math import inf

import pytest

from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.search.asked import asked, nearness


@pytest.mark.parametrize(
    ("text", "trait", "lower", "upper"),
    [
        ("height 60 cm to 1.2 m", "height", 0.6, 1.2), ("height 2 ft to 4 ft", "height", 0.6096, 1.2192),
        ("height up to 60 cm", "height", -inf, 0.6), ("height at least 2 m", "height", 2, inf),
        ("spread from 1 m", "spread", 1, inf), ("height 10 m", "height", 7.5, 12.5), ("height 10 2 m", "height_10", 1.5, 2.5),
        ("ph tolerated 7.4", "ph_tolerated", 7.4, 7.4), ("pH_tolerated: 6 to 7.5", "ph_tolerated", 6, 7.5),
        ("moisture moist to wet", "moisture", 4, 5), ("moisture moist well-drained", "moisture", 3, 3),
        ("minimum temperature -9", "minimum_temperature", -inf, -9), ("minimum temperature H5", "minimum_temperature", -inf, -15),
        ("minimum temperature 7a", "minimum_temperature", -inf, -17.8),
        ("flower July", "flower", 189, 204), ("winter outline December to February", "winter_outline", 342, 419),
        ("drought fair", "drought", 2, 2), ("drought at least fair", "drought", 2, inf), ("spread rate up to slow", "spread_rate", -inf, 1),
        ("wind little to good", "wind", 1, 3), ("see through yes", "see_through", 1, 1), ("see through no", "see_through", 0, 0),
    ],
)  # fmt: skip
def test_figures(text: str, trait: str, lower: float, upper: float) -> None:
    wanted = asked(text)
    assert (wanted.trait.name, wanted.lower, wanted.upper) == (trait, pytest.approx(lower), pytest.approx(upper))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("foliage evergreen or semi-evergreen", ("evergreen", "semi-evergreen")), ("light part shade", ("part shade",)),
        ("hazards none", ("none",)), ("hazards dogs eaten", ("dogs eaten",)), ("listings EU", ("EU",)),
        ("hazards dogs", ("dogs breathed", "dogs eaten", "dogs sap and sun", "dogs skin", "dogs spines")),
    ],
)  # fmt: skip
def test_words(text: str, words: tuple[str, ...]) -> None:
    assert (asked(text).words, asked(text).refused, asked(f"not {text}").refused) == (words, False, True)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("hieght 2", "is 'height'"), ("height", "does not say what it shall be; ultimate height"), ("height red", "is a number in m"),
        ("height 2 to 1 m", "wrong way round"), ("ph 7", "is 'ph preferred' or 'ph tolerated' meant?"), ("height up to 1 to 2 m", "m"),
        ("flower Jnue", "no day of the year"), ("flower June; colours plaid", "no colour"), ("leaf colour plaid", "no colour"),
        ("light dim", "not among full sun"), ("hazards badgers", "who (people, cats, dogs"), ("drought mostly", "the steps are"),
        ("wind little to fair to good", "more than two ends"), ("see through maybe", "yes or no"), ("", "begins with no trait"),
        ("'; DROP TABLE taxon; --", "begins with no trait"), ("not", "begins with no trait"), ("moisture soggy", "the steps are"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked(text: str, told: str) -> None:
    with pytest.raises(ValueError) as error:
        asked(text)
    assert told in str(error.value)


def test_every_trait_can_be_asked_for() -> None:
    likely = {
        "measure": "2", "tolerance": "6 to 7", "window": "June", "yes-no": "yes", "colour": "white", "hazards": "none", "listings": "EU"
    }  # fmt: skip
    for name, trait in trait_table().traits.items():
        text = likely.get(trait.kind) if not trait.scale else next(iter(trait.scale.values()))
        assert asked(f"{name.replace('_', ' ')} {text or trait.options[0]}").trait is trait


def test_nearness_of_colours() -> None:
    assert nearness(("white",), ("deep red", "white")) == 1
    # Vivid red and vivid green lie on opposite sides of any circle of hues.
    assert nearness(("vivid red",), ("vivid green",)) == 0
    assert 0.5 < nearness(("pale yellow",), ("light yellow",)) < 1
    assert nearness(("white",), ()) == 0
