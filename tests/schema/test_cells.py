"""A trait's value in one cell: forms that people write, units, and every shipped value there and back."""

from __future__ import annotations

import pytest

from bedfellow.schema.cells import plain_value, read_cell, write_cell
from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Hazard, Measure, Tolerance, Window, read_value
from bedfellow.traits_db.records import Records

TRAITS = trait_table().traits


def read(trait: str, text: str, unit: str = "") -> object:
    return read_value(TRAITS[trait], read_cell(TRAITS[trait], text, unit))


@pytest.mark.parametrize(
    ("trait", "text", "unit", "value"),
    [
        ("height", "2", "", Measure(1.5, 2, 2.5)),
        ("height", "60 cm", "", Measure(0.45, 0.6, 0.75)),
        ("height", "2", "ft", Measure(0.457, 0.61, 0.762)),  # 2 ft = 0.6096 m (yard and pound agreement, 1959)
        ("height", "5 ft 6 in", "", Measure(1.257, 1.676, 2.095)),
        ("height", "60 to 90 cm", "", Measure(0.6, 0.75, 0.9)),
        ("height", "60-90 cm", "", Measure(0.6, 0.75, 0.9)),
        ("height", "2 to 4, typical 2.5", "", Measure(2, 2.5, 4)),
        ("thickest_support", "1 cm", "", Measure(10, 10, 10)),
        ("transmittance_in_leaf", "20 %", "", Measure(0.15, 0.2, 0.25)),
        ("ph_tolerated", "5.5 – 7.5", "", Tolerance(5.5, 7.5)),
        ("moisture", "well-drained to moist", "", Tolerance(2, 4)),
        ("moisture", "3", "", Tolerance(3, 3)),
        ("minimum_temperature", "H5", "", Tolerance(-15, -10)),
        ("minimum_temperature", "-15 to -10", "", Tolerance(-15, -10)),
        ("minimum_temperature", "-15 - -10", "", Tolerance(-15, -10)),
        ("minimum_temperature", "5 to 14 °F", "", Tolerance(-15, -10)),
        ("light", "full sun; part shade", "", ("full sun", "part shade")),
        ("drought", "fair", "", 2),
        ("sterile", "no", "", False),
        ("hazards", "none", "", ()),
        ("hazards", "dogs, eaten, bulb, 2", "", (Hazard("dogs", "eaten", "bulb", 2),)),
        ("hazards", '[{"who": "cats", "how": "eaten", "severity": 3}]', "", (Hazard("cats", "eaten", "all parts", 3),)),
    ],
)
def test_forms(trait: str, text: str, unit: str, value: object) -> None:
    assert read(trait, text, unit) == value


def test_a_window_of_interest() -> None:
    window = read("flower", "mid May to late June; strength 3; colours white, vivid yellow")
    assert isinstance(window, Window)
    assert (window.start.typical, window.end.typical, window.strength) == (135, 176, 3)
    assert window.colours == ("white", "vivid yellow")


def test_days_without_a_year() -> None:
    assert read("in_leaf", "--05-20/--11-03") == read("in_leaf", "05-20 to 11-03")


@pytest.mark.parametrize(
    ("trait", "text", "unit", "says"),
    [
        ("height", "2,5", "", "with a point"),
        ("height", "2", "kg", "is in m, not in 'kg'"),
        ("height", "tall", "", "is a number in m"),
        ("height", "1 to 2 to 3", "", "low to high"),
        ("height", "", "", "is a number in m"),
        ("ph_tolerated", "6 pH in CaCl2", "", "is in pH in water"),
        ("drought", "very", "", "is not a step"),
        ("flower", "spring", "", "no day of the year"),
        ("flower", "May to June; often", "", "neither"),
        ("hazards", "dogs", "", "who, how, part, severity"),
        ("hazards", "[1", "", "begins as JSON"),
        ("hazards", "[" * 3999, "", "begins as JSON"),
        ("light", "x" * 5000, "", "at most 4000"),
    ],
)
def test_what_is_wrong_is_told(trait: str, text: str, unit: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read(trait, text, unit)


def test_every_shipped_value_there_and_back(shipped: Records) -> None:
    statements = [s for taxon in shipped.taxa.values() for s in taxon.statements]
    assert len(statements) > 5000
    for statement in statements:
        trait, value = TRAITS[statement.trait], statement.value
        climate = {"region": value.region, "latitude": value.latitude} if isinstance(value, Window) else None
        assert read_value(trait, read_cell(trait, write_cell(trait, value)), climate) == value
        assert read_value(trait, plain_value(trait, value), climate) == value
