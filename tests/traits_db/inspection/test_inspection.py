"""What an inspection of records finds, and what it must leave alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedfellow.traits_db.folders import SHIPPED
from bedfellow.traits_db.inspection import Remark, inspect
from bedfellow.traits_db.records import read_records

SOURCES = "format: 1\nsources:\n  book: {title: A book}\n  other: {title: Another book}\n"


def remarks(folder: Path, taxa: str, genus: str = "Testa") -> list[Remark]:
    """The remarks on some taxa, given as the items of a record file; unused sources left out."""
    (folder / f"{genus}.yaml").write_text(f"format: 1\ngenus: {genus}\nfamily: Testaceae\ntaxa:\n{taxa}\n", "utf-8")
    (folder / "sources.yaml").write_text(SOURCES, "utf-8")
    return [remark for remark in inspect(read_records([folder])) if remark.subject != "source"]


def of_traits(folder: Path, traits: str, name: str = "Testa alba", rank: str = "species", published: str = "") -> list[Remark]:  # fmt: skip
    more = f", published: {{book: {{{published}}}}}" if published else ""
    return remarks(folder, f"- {{name: {name}, rank: {rank}, traits: {{{traits}}}{more}}}", name.split()[0])


def test_the_shipped_records_have_no_faults() -> None:
    records = read_records([SHIPPED])
    assert len(records.taxa) > 200
    assert [remark for remark in inspect(records) if remark.level == "fault"] == []


CONTRADICTIONS = [
    ("life_form: shrub, spread: 2", "spread", "without a height"),
    ("life_form: shrub, height: 2, height_10: 2.5", "height 10", "shrink"),
    ("life_form: shrub, height: 2, crown_base: 2.2", "crown base", "over its top"),
    ("life_form: perennial, height: 0.4, foliage_height: 0.6", "foliage height", "includes the leaves"),
    ("life_form: perennial, height: 60", "height", "more than a perennial"),
    ("life_form: shrub, height: 2, years_to_ultimate: 5, height_10: 1", "years to ultimate", "not yet"),
    ("life_form: tree, height: 9, transmittance_in_leaf: 20", "transmittance", "beyond 0 to 1"),
    ("life_form: tree, height: 9, transmittance_in_leaf: 0.5, transmittance_bare: 0.2", "bare", "less than"),
    ("life_form: bulb, foliage: summer-dormant, in_leaf: {from: February, to: May}, flower: {from: September, to: October}", "flower", "from its leaves"),
    ("life_form: shrub, foliage: evergreen, in_leaf: {from: April, to: October}", "evergreen", "leaves fall"),
    ("life_form: shrub, foliage: deciduous, in_leaf: {from: 01-01, to: 12-31}", "deciduous", "never without"),
    ("life_form: bulb, foliage: summer-dormant, in_leaf: {from: February, to: May}, die_back: {from: late August, to: September}", "die back", "no leaves"),
    ("life_form: shrub, ph_preferred: [5, 7], ph_tolerated: [5.5, 8]", "ph preferred", "outside"),
    ("life_form: shrub, ph_tolerated: [1, 8]", "ph tolerated", "no soil reaction"),
    ("life_form: shrub, lime: hates, ph_tolerated: [4.5, 8]", "hates lime", "8"),
    ("life_form: shrub, lime: likes, ph_tolerated: [4.5, 6]", "likes lime", "6"),
    ("life_form: perennial, half_hardy: yes, minimum_temperature: H6", "half-hardy", "-20"),
    ("life_form: perennial, minimum_temperature: [-90, -80]", "minimum temperature", "no winter"),
]  # fmt: skip


@pytest.mark.parametrize(("traits", "subject", "why"), CONTRADICTIONS)
def test_a_contradiction_is_a_fault(tmp_path: Path, traits: str, subject: str, why: str) -> None:
    (remark,) = of_traits(tmp_path, traits)
    assert remark.level == "fault" and subject in remark.message and why in remark.message
    assert remark.place == f"{tmp_path / 'Testa.yaml'}:5:10" and remark.taxon == "Testa alba"


@pytest.mark.parametrize(
    "traits",
    [
        "life_form: shrub, height: 2, height_10: 2, spread: 2, spread_10: 1.9, crown_base: 0.1",
        "life_form: perennial, height: 0.5, foliage_height: 0.5, minimum_temperature: H3, half_hardy: yes",
        "life_form: climber, height: 9, transmittance_bare: 0.95, transmittance_in_leaf: 0.3",  # widened, not claimed
        "life_form: bulb, foliage: summer-dormant, in_leaf: {from: February, to: May}, flower: {from: March, to: April}, die_back: {from: May, to: May}",
        "life_form: shrub, foliage: deciduous, in_leaf: {from: May, to: October}, flower: {from: January, to: February}",
        "life_form: shrub, foliage: evergreen, in_leaf: {from: 01-01, to: 12-31}",
        "life_form: shrub, foliage: semi-evergreen, in_leaf: {from: April, to: November}",
        "life_form: shrub, lime: hates, ph_preferred: [4.5, 6], ph_tolerated: [4, 7]",
    ],
)
def test_what_hangs_together_is_left_alone(tmp_path: Path, traits: str) -> None:
    assert of_traits(tmp_path, traits) == []


# Plants that flower without leaves, with months as floras give them (from memory).
@pytest.mark.parametrize(
    ("name", "traits"),
    [
        ("Colchicum autumnale", "life_form: bulb, foliage: summer-dormant, height: 0.15, foliage_height: 0.3, in_leaf: {from: March, to: June}, flower: {from: September, to: October}"),
        ("Nerine bowdenii", "life_form: bulb, foliage: deciduous, height: 0.5, in_leaf: {from: April, to: August}, flower: {from: October, to: November}"),
        ("Cyclamen hederifolium", "life_form: bulb, foliage: summer-dormant, height: 0.12, in_leaf: {from: October, to: May}, flower: {from: August, to: September}"),
        ("Hamamelis mollis", "life_form: shrub, foliage: deciduous, height: 4, in_leaf: {from: April, to: November}, flower: {from: January, to: February}"),
        ("Iris reticulata", "life_form: bulb, foliage: summer-dormant, height: 0.14, foliage_height: 0.35, in_leaf: {from: February, to: May}, flower: {from: February, to: March}"),
        ("Crocus tommasinianus", "life_form: bulb, foliage: summer-dormant, height: 0.1, foliage_height: 0.15, in_leaf: {from: February, to: May}, flower: {from: February, to: March}"),
    ],
)  # fmt: skip
def test_flowers_without_leaves(tmp_path: Path, name: str, traits: str) -> None:
    assert of_traits(tmp_path, traits, name) == []


def test_two_sources_may_differ(tmp_path: Path) -> None:
    assert of_traits(tmp_path, "life_form: shrub, height_10: 2.2", published="height: {low: 1.5, high: 2.4}") == []
    (remark,) = of_traits(tmp_path, "life_form: shrub, height_10: 3", published="height: {low: 1.5, high: 2.4}")
    assert remark.level == "look"
    (remark,) = of_traits(tmp_path, "life_form: shrub, height_10: 6", published="height: {low: 1.5, high: 2.4}")
    assert remark.level == "fault", "no reading of the two figures agrees"


def test_what_is_inherited_is_judged_where_it_is_stated(tmp_path: Path) -> None:
    taxa = (
        "- {name: Testa alba, rank: species, traits: {life_form: shrub, lime: hates, ph_tolerated: [4.5, 8]}}\n"
        "- {name: Testa alba 'Nana', rank: cultivar, traits: {height: 1}}"
    )
    assert [remark.taxon for remark in remarks(tmp_path, taxa)] == ["Testa alba"]


def test_sources_of_cold_that_disagree(tmp_path: Path) -> None:
    taxa = "- {name: Testa alba, rank: species, traits: {life_form: shrub}, published: {book: {minimum_temperature: '4'}, other: {minimum_temperature: '9'}}}"
    (remark,) = remarks(tmp_path, taxa)
    assert (remark.level, remark.subject) == ("look", "site") and "disagree" in remark.message


def test_a_source_that_nothing_uses_and_records_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "Testa.yaml").write_text("format: 1\ntaxa: [{name: Testa alba, rank: species, traits: {life_form: shrub}, published: {book: {height: 1}}}]\n", "utf-8")  # fmt: skip
    (tmp_path / "sources.yaml").write_text(SOURCES, "utf-8")
    (remark,) = inspect(read_records([tmp_path]))
    assert (remark.level, remark.place) == ("look", f"{tmp_path / 'sources.yaml'}:4:3") and "'other'" in remark.message
    (tmp_path / "Testa.yaml").write_text("format: 1\ntaxa: [{name: Testa alba, rank: species, traits: {wind: 9}}]\n", "utf-8")  # fmt: skip
    remarks = inspect(read_records([tmp_path]))
    assert {remark.level for remark in remarks} == {"fault"}
    assert [remark.place for remark in remarks] == [
        f"{tmp_path / 'Testa.yaml'}:2:57",
        f"{tmp_path / 'Testa.yaml'}:2:15",
    ]


def test_one_plant_far_from_its_genus(tmp_path: Path) -> None:
    heights = (1.0, 1.2, 1.5, 0.9, 2.0, 1.1)
    kin = [f"- {{name: Testa a{'bcdefg'[n]}a, rank: species, traits: {{life_form: shrub, height: {h}}}}}" for n, h in enumerate(heights)]  # fmt: skip
    assert remarks(tmp_path, "\n".join(kin)) == []
    slip = "- {name: Testa longa, rank: species, traits: {life_form: shrub, height: 12}}"
    (remark,) = remarks(tmp_path, "\n".join([*kin, slip]))
    assert (remark.level, remark.subject, remark.taxon) == ("look", "kin", "Testa longa")
    tree = slip.replace("shrub", "tree")
    assert remarks(tmp_path, "\n".join([*kin, tree])) == [], "another life form is another scale"


def test_a_cultivar_far_over_its_species(tmp_path: Path) -> None:
    taxa = "- {{name: Testa alba, rank: species, traits: {{life_form: shrub, height: 1}}}}\n- {{name: Testa alba 'Alta', rank: cultivar, traits: {{height: {}}}}}"
    assert remarks(tmp_path, taxa.format(1.5)) == []
    (remark,) = remarks(tmp_path, taxa.format(4))
    assert (remark.level, remark.subject) == ("look", "kin")


def test_none_known_among_kin_that_harm(tmp_path: Path) -> None:
    harmful = "hazards: [{who: people, how: eaten, severity: 2}]"
    kin = [
        f"- {{name: Testa a{letter}a, rank: species, traits: {{life_form: shrub, {harmful}}}}}" for letter in "bcdef"
    ]
    (remark,) = remarks(tmp_path, "\n".join([*kin, "- {name: Testa laeta, rank: species, traits: {life_form: shrub, hazards: []}}"]))  # fmt: skip
    assert remark.taxon == "Testa laeta" and "harm when eaten" in remark.message
