"""``record.schema.json``, by which editors complete and check a file of records: what the table of traits makes of it.

``python tests/traits_db/test_record_schema.py`` writes it anew.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import fastjsonschema
import pytest
from jsonschema import Draft7Validator, Draft202012Validator

import bedfellow.schema
from bedfellow.schema.colours import names
from bedfellow.schema.reader import read_file, read_text
from bedfellow.schema.traits import Trait, trait_table
from bedfellow.schema.values import COVERS, HOW, MONTHS, THIRDS, WHO, read_value
from bedfellow.traits_db.folders import SHIPPED, record_files
from bedfellow.traits_db.records import CONFIDENCE, HEAD_KEYS, RANKS, STATEMENT_KEYS, TAXON_KEYS

FILE = Path(bedfellow.schema.__file__).with_name("record.schema.json")
Rule = dict[str, Any]
NUMBER, TEXT, ANYTHING = {"type": "number"}, {"type": "string", "minLength": 1}, dict[str, Any]()
FORMS: Rule = {
    "day": {
        "description": "a day of the year: 05-20, mid May or May",
        "type": "string", "pattern": rf"^([01][0-9]-[0-3][0-9]|(({'|'.join(THIRDS)}) )?({'|'.join(MONTHS)}))$",
    },
    "colour": {
        "description": "a name of the ISCC-NBS system, or #rrggbb",
        "anyOf": [{"enum": sorted(names())}, {"type": "string", "pattern": "^#[0-9a-fA-F]{6}$"}],
    },
    "band": {
        "description": "a UK hardiness rating (H5) or a USDA zone (7a)",
        "type": "string", "pattern": "^(H1[abc]|H[2-7]|(1[0-3]|[1-9])[ab]?)$",
    },
}  # fmt: skip


def ref(name: str) -> Rule:
    return {"$ref": f"#/definitions/{name}"}


def either(*rules: Rule) -> Rule:
    return rules[0] if len(rules) == 1 else {"anyOf": list(rules)}


def one_of(words: Any) -> Rule:
    return {"enum": list(words)}


def many(rule: Rule, least: int = 0, most: int | None = None) -> Rule:
    return {"type": "array", "items": rule, **({"minItems": least, "maxItems": most} if most else {})}


def mapping(properties: Rule, needed: tuple[str, ...] = ()) -> Rule:
    rule = {"type": "object", "properties": properties, "additionalProperties": False}
    return {**rule, "required": list(needed)} if needed else rule


def value(trait: Trait) -> Rule:
    """What `read_value` takes, so far as a schema can say it: not the order of numbers."""
    steps = one_of([*trait.scale, *trait.scale.values()])
    match trait.kind:
        case "measure":
            return either(NUMBER, mapping(dict.fromkeys(("low", "typical", "high"), NUMBER), ("low", "high")))
        case "tolerance":
            end = steps if trait.scale else NUMBER
            ends = [many(end, 2, 2), mapping({"from": end, "to": end}, ("from", "to"))]
            return either(*ends, *([ref("band")] if trait.bands else []))
        case "window":
            interest = {"strength": one_of((1, 2, 3)), "colours": either(ref("colour"), many(ref("colour")))}
            return mapping(
                {"from": ref("day"), "to": ref("day"), **(interest if trait.interest else {})}, ("from", "to")
            )
        case "class":
            return steps
        case "choice":
            words = one_of(trait.options)
            return either(words, many(words)) if trait.several else words
        case "yes-no":
            return one_of(("yes", "no", True, False))
        case "colour":
            return either(ref("colour"), many(ref("colour")))
        case "hazards":
            hazard = {"who": one_of(WHO), "how": one_of(HOW), "part": TEXT, "severity": one_of((1, 2, 3))}
            return many(mapping(hazard, ("who", "how", "severity")))
        case _:
            listing = {
                "jurisdiction": TEXT,
                "list": TEXT,
                "date": {"type": ["string", "number"]},
                "covers": one_of(COVERS),
            }
            return many(mapping(listing, tuple(listing)))


def statement(trait: Trait) -> Rule:
    said = {
        "value": ref(f"value_{trait.name}"), "confidence": one_of(CONFIDENCE), "method": one_of(("memory", "published", "measured")),
        "climate": ref("climate"), "date": {"type": ["string", "number"]}, "note": ANYTHING,
    }  # fmt: skip
    assert said.keys() == STATEMENT_KEYS
    about = f"{trait.about}, in {trait.unit}" if trait.unit not in ("", "1") else trait.about
    return {"description": about, "anyOf": [said["value"], mapping(said, ("value",))]}


def stated(confidence: tuple[str, ...], methods: tuple[str, ...]) -> Rule:
    limits = {"confidence": one_of(confidence), "method": one_of(methods)}
    return {"allOf": [ref("traits"), {"type": "object", "additionalProperties": {"properties": limits}}]}


def record_schema() -> Rule:
    table = trait_table().traits
    climate = mapping({"region": TEXT, "latitude": {"type": "number", "minimum": -90, "maximum": 90}})
    taxon = {
        "name": {**TEXT, "description": "accepted botanical name"}, "rank": one_of(RANKS),
        "parent": {**TEXT, "description": "the taxon above, where the name does not tell it"},
        "parents": {**many(TEXT), "description": "of a hybrid, the species that it comes from"},
        "authority": TEXT, "synonyms": many(TEXT),
        "common_names": {"description": "lists of names by language", "type": "object", "additionalProperties": many(TEXT)},
        "trade_designation": {**TEXT, "description": "the name that it is sold under, where that is not its own"},
        "traits": {"description": "values from memory", **stated(("medium", "low"), ("memory",))},
        "published": {
            "description": "values by the work they were read in, a key of sources.yaml", "type": "object",
            "additionalProperties": stated(CONFIDENCE, ("published", "measured")),
        },
        "climate": ref("climate"), "note": ANYTHING, "notes": ANYTHING,
    }  # fmt: skip
    head = {
        "format": one_of([1]), "genus": TEXT, "family": TEXT, "climate": ref("climate"), "note": ANYTHING, "notes": ANYTHING,
        "taxa": many(ref("taxon")),
    }  # fmt: skip
    assert taxon.keys() == TAXON_KEYS and head.keys() == HEAD_KEYS
    values = {f"value_{name}": value(trait) for name, trait in table.items()}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Plant records",
        "description": "A file of plant records.",
        **mapping(head, ("format", "taxa")),
        "definitions": {
            **FORMS, "climate": {"description": "where it was observed", **climate}, **values,
            "traits": mapping({name: statement(trait) for name, trait in table.items()}),
            "taxon": mapping(taxon, ("name", "rank")),
        },
    }  # fmt: skip


def written() -> str:
    return json.dumps(record_schema(), indent=1, ensure_ascii=False) + "\n"


@cache
def draft_7() -> Any:
    return fastjsonschema.compile({**record_schema(), "$schema": "http://json-schema.org/draft-07/schema"})


def accepted(data: Any, schema: Rule) -> bool:
    """By draft 7 and by 2020-12, which must agree."""
    answers = {Draft202012Validator(schema).is_valid(data), Draft7Validator(schema).is_valid(data)}
    assert len(answers) == 1
    return answers.pop()


def test_the_file_is_what_the_table_makes_of_it() -> None:
    Draft202012Validator.check_schema(record_schema())
    assert FILE.read_text("utf-8") == written(), f"run {Path(__file__).name} to write it anew"


@pytest.mark.parametrize("part", range(6))
def test_every_shipped_record_is_one(part: int) -> None:
    wrong = {}
    for file in record_files(SHIPPED)[part::6]:
        try:
            draft_7()(read_file(file).data)
        except fastjsonschema.JsonSchemaException as fault:
            wrong[file.name] = str(fault)
    assert not wrong


WRITTEN = {
    "height": ["2", "{low: 1, high: 3}", "{low: 1, typical: 2, high: 3}", "{low: 1}", "tall", "[1, 2]", "{low: 1, high: x}", "{low: 1, high: 2, by: me}"],
    "minimum_temperature": ["H5", "H8", '"7a"', "[-10, -5]", "{from: -10, to: -5}", "[-10]", "-10", "mild"],
    "moisture": ["[moist, wet]", "[2, 3]", "[damp, wet]", "[1, 9]", "H5"],
    "in_leaf": ["{from: May, to: mid October}", "{from: 05-20, to: October}", "{from: May}", "{from: maytime, to: June}", "{from: May, to: June, strength: 2}"],
    "flower": ["{from: May, to: June, strength: 3, colours: [white]}", "{from: May, to: June, strength: 4}", "{from: May, to: June, colours: mauvish}"],
    "wind": ["2", "good", "9", "fine"], "light": ["full sun", "[full sun, part shade]", "sunny", "[sunny]"], "habit": ["clump", "[clump]", "heap"],
    "thorns": ["yes", "no", "true", "unknown"], "leaf_colour": ["[dark green]", "dark green", "'#00ff00'", "greenest"],
    "hazards": ["[]", "[{who: dogs, how: eaten, severity: 2}]", "[{who: dogs, how: eaten, part: bulb, severity: 4}]", "[{who: birds, how: eaten, severity: 1}]", "none"],
    "listings": ["[]", "[{jurisdiction: EU, list: book, date: 2022, covers: taxon}]", "[{jurisdiction: EU}]"],
}  # fmt: skip


@pytest.mark.parametrize("name", WRITTEN)
def test_the_schema_takes_what_the_reader_takes(name: str) -> None:
    answers = set()
    rule = {"definitions": record_schema()["definitions"], "allOf": [ref(f"value_{name}")]}
    for text in WRITTEN[name]:
        raw = read_text(f"a: {text}\n", "x").data["a"]
        try:
            read_value(trait_table().traits[name], raw)
            taken = True
        except (TypeError, ValueError):
            taken = False
        assert accepted(raw, rule) == taken, text
        answers.add(taken)
    assert answers == {True, False}


SPECIES = "format: 1\ntaxa:\n- {{name: Testa alba, rank: species, {}}}\n"


@pytest.mark.parametrize(
    ("entry", "good"),
    [
        ("traits: {height: {value: 2, confidence: low, note: by eye}}", True), ("traits: {height: {value: 2, confidence: high}}", False),
        ("published: {book: {height: {value: 2, confidence: high, method: measured}}}", True), ("published: {book: {heigth: 2}}", False),
        ("traits: {height: {value: 2, method: measured}}", False), ("synonym: [x]", False), ("synonyms: x", False), ("climate: {latitude: 99}", False),
        ("common_names: {en: [test]}, trade_designation: SNOW, parents: [A b, A c]", True), ("common_names: [test]", False),
    ],
)  # fmt: skip
def test_taxa(entry: str, good: bool) -> None:
    assert accepted(read_text(SPECIES.format(entry), "x").data, record_schema()) == good


if __name__ == "__main__":
    FILE.write_text(written(), "utf-8")
