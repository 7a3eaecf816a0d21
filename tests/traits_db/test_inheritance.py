"""Which of several statements is in use, and what passes from one level to another."""

from __future__ import annotations

from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Hazard, Listing, Measure, Tolerance, Value
from bedfellow.traits_db.facts import Fact, TaxonTraits
from bedfellow.traits_db.inheritance import values_in_use
from bedfellow.traits_db.records import Statement, Taxon

SHRUB: dict[str, Value] = {"life_form": "shrub"}


def says(
    traits: dict[str, Value], source: str = "memory", method: str = "", confidence: str = ""
) -> tuple[Statement, ...]:
    memory = source == "memory"
    method = method or ("memory" if memory else "published")
    return tuple(
        Statement(trait, value, source, method, confidence or ("medium" if memory else "high"))
        for trait, value in traits.items()
    )


def in_use(*taxa: Taxon) -> dict[str, Fact]:
    """Values in use of the last of these."""
    return values_in_use(taxa[-1], {taxon.name: taxon for taxon in taxa})


GENUS = Taxon(
    "T",
    "genus",
    statements=says({"life_form": "shrub", "water_demand": 3, "moisture": Tolerance(2, 3), "height": Measure(1, 2, 3)}),
)


def test_measured_before_published_before_memory() -> None:
    statements = (
        *says({"drought": 1}), *says({"drought": 2}, "book"), *says({"drought": 3}, "plot", "measured", "low"),
    )  # fmt: skip
    assert in_use(Taxon("T a", "species", statements=statements))["drought"] == Fact(
        3, "species", "plot", "measured", "low"
    )
    assert in_use(Taxon("T a", "species", statements=statements[:2]))["drought"] == Fact(
        2, "species", "book", "published", "high"
    )


def test_then_the_surer_then_the_first() -> None:
    statements = (
        *says({"drought": 1}, "a", confidence="low"), *says({"drought": 2}, "b", confidence="medium"), *says({"drought": 3}, "c", confidence="medium"),
    )  # fmt: skip
    assert in_use(Taxon("T a", "species", statements=statements))["drought"].value == 2


def test_what_a_cultivar_takes_from_its_species() -> None:
    table = trait_table().traits
    assert (table["moisture"].species, table["habit"].species, table["height"].species) == ("safe", "low", "never")
    species = Taxon(
        "T a",
        "species",
        statements=says({**SHRUB, "moisture": Tolerance(2, 3), "habit": "rounded", "height": Measure(1, 2, 3)}),
    )
    facts = in_use(species, Taxon("T a 'B'", "cultivar", parent="T a"))
    assert facts["moisture"] == Fact(Tolerance(2, 3), "species", "memory", "memory", "medium")
    assert facts["habit"] == Fact("rounded", "species", "memory", "memory", "low")
    assert "height" not in facts


def test_what_anything_takes_from_its_genus_is_of_low_confidence() -> None:
    facts = in_use(GENUS, Taxon("T a", "species", parent="T"), Taxon("T a 'B'", "cultivar", parent="T a"))
    assert facts["water_demand"] == Fact(3, "genus", "memory", "memory", "low")
    assert "moisture" not in facts and "height" not in facts


def test_the_more_specific_taxon_first() -> None:
    species = Taxon("T a", "species", parent="T", statements=says({"water_demand": 2}, "book"))
    facts = in_use(GENUS, species, Taxon("T a 'B'", "cultivar", parent="T a", statements=says({"water_demand": 1})))
    assert facts["water_demand"] == Fact(1, "cultivar", "memory", "memory", "medium")


def test_what_does_not_apply_is_not_there() -> None:
    genus = Taxon("T", "genus", statements=says({"life_form": "tree", "root_competition": 2}))
    facts = in_use(genus, Taxon("T a", "species", parent="T", statements=says({"life_form": "perennial"})))
    assert "root_competition" not in facts


EATEN, SKIN = Hazard("people", "eaten", "all parts", 3), Hazard("people", "skin", "sap", 3)


def test_hazards_are_united_and_the_published_entry_wins() -> None:
    mild = EATEN._replace(severity=1, part="berries")
    statements = (
        *says({"hazards": (mild, SKIN)}),
        *says({"hazards": (EATEN,)}, "book"),
        *says({"hazards": ()}, "leaflet"),
    )
    fact = in_use(Taxon("T a", "species", statements=statements))["hazards"]
    # What memory adds beside a published entry may warn, not condemn.
    assert fact.value == (EATEN, SKIN._replace(severity=2))
    assert (fact.source, fact.method) == ("book", "published")


def test_hazards_from_memory_alone_keep_their_severity() -> None:
    fact = in_use(Taxon("T a", "species", statements=says({"hazards": (EATEN,)})))["hazards"]
    assert (fact.value, fact.source) == ((EATEN,), "memory")


def test_none_known_is_not_unknown() -> None:
    assert in_use(Taxon("T a", "species", statements=says({"hazards": ()})))["hazards"].value == ()
    assert "hazards" not in in_use(Taxon("T a", "species", statements=says(SHRUB)))


def test_listings_are_united_by_jurisdiction_and_list() -> None:
    eu, gb = Listing("EU", "regulation", "2022", "taxon"), Listing("GB", "act", "2010", "taxon")
    statements = (*says({"listings": (eu,)}, "regulation"), *says({"listings": (gb, eu._replace(date="2016"))}, "act"))
    assert in_use(Taxon("T a", "species", statements=statements))["listings"].value == (eu, gb)


def test_a_hybrid_takes_what_its_parents_have_in_common() -> None:
    banned = Listing("EU", "regulation", "2022", "taxon, cultivars and hybrids")
    one = Taxon(
        "T a",
        "species",
        parent="T",
        statements=says(
            {
                **SHRUB,
                "moisture": Tolerance(1, 3),
                "lime": "likes",
                "drought": 2,
                "hazards": (EATEN,),
                "height": Measure(1, 2, 3),
                "listings": (banned, Listing("GB", "act", "2010", "taxon")),
            },
            "book",
        ),
    )
    other = Taxon(
        "T b",
        "species",
        parent="T",
        statements=says({**SHRUB, "moisture": Tolerance(2, 4), "lime": "hates", "drought": 2, "hazards": ()}),
    )
    hybrid = Taxon("T × c", "hybrid", parent="T", parents=("T a", "T b"), statements=says({"salt": 1}))
    facts = in_use(GENUS, one, other, hybrid)
    assert facts["moisture"] == Fact(Tolerance(2, 3), "parents", "memory", "memory", "low")
    assert facts["drought"] == Fact(2, "parents", "memory", "memory", "low")
    assert facts["hazards"] == Fact((EATEN,), "parents", "memory", "memory", "low")
    assert facts["listings"].value == (banned,)
    assert facts["salt"].level == "hybrid"
    assert "lime" not in facts and "height" not in facts
    cultivar = Taxon("T × c 'D'", "cultivar", parent="T × c")
    assert in_use(GENUS, one, other, hybrid, cultivar)["moisture"].value == Tolerance(2, 3)


def test_one_recorded_parent_is_no_common_range() -> None:
    one = Taxon("T a", "species", statements=says({**SHRUB, "moisture": Tolerance(1, 3), "hazards": (EATEN,)}))
    facts = in_use(one, Taxon("T × c", "hybrid", parents=("T a", "T b"), statements=says(SHRUB)))
    assert "moisture" not in facts
    assert facts["hazards"].value == (EATEN,)


def test_overrides_stand_before_records_and_add_up() -> None:
    traits = TaxonTraits("T a", "species", "accepted", {"drought": [1, "species", "memory", "memory", "medium"]})
    assert (traits.step("drought"), traits.sourced("drought"), traits.step("wind"), traits.fact("wind")) == (
        1,
        False,
        None,
        None,
    )
    plan = Fact(3, "plan", "the plan", "published", "high")
    twice = traits.with_overrides({"drought": plan}).with_overrides({"wind": plan})
    assert (twice.step("drought"), twice.sourced("drought"), twice.step("wind")) == (3, True, 3)
    assert traits.step("drought") == 1
    assert traits.measure("drought") is None  # a step is no measure
