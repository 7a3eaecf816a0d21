"""Names as the codes write them.

Cultivars, Groups, trade designations: International Code of Nomenclature for Cultivated Plants, 9th edition (2016), single
quotes, capitals, no "cv.", at most 30 characters for epithets from 1996 on. Species and below: the botanical code, hybrid
sign, "subsp.", "var." and "f.". The details that are not in those few rules are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from bedfellow.traits_db.inspection.remark import Verdict
from bedfellow.traits_db.records import Taxon

LONGEST = 30  # characters of an epithet, spaces and quotes not counted
# Words that keep a small letter inside an epithet: linguistic custom.
SMALL = frozenset(
    {
        "a", "am", "an", "and", "at", "auf", "au", "aus", "aux", "bei", "by", "d", "da", "dans", "das", "de", "del",
        "della", "den", "der", "des", "di", "die", "du", "e", "el", "en", "et", "for", "from", "i", "im", "in", "it",
        "l", "la", "las", "le", "les", "los", "n", "of", "off", "on", "or", "os", "per", "pour", "sur", "te", "ten",
        "ter", "the", "to", "und", "upon", "van", "vom", "von", "with", "y", "zu", "zum", "zur",
    }
)  # fmt: skip
_WORD = r"[a-zëïöü]+(?:-[a-zëïöü]+)*"
_GENUS = r"(?:× ?|\+ ?)?[A-ZÉ][a-zëïöü]+(?:-[a-z]+)?"
_RANKS = {
    "genus": re.compile(rf"{_GENUS}"),
    "species": re.compile(rf"{_GENUS} {_WORD}"),
    "hybrid": re.compile(rf"{_GENUS} (?:× )?{_WORD}"),
    "subspecies": re.compile(rf"{_GENUS} (?:× )?{_WORD} subsp\. {_WORD}"),
    "variety": re.compile(rf"{_GENUS} (?:× )?{_WORD}(?: subsp\. {_WORD})? (?:var|f)\. {_WORD}"),
    "group": re.compile(rf"{_GENUS}(?: .+)? (?:Group|Grex)|{_GENUS}(?: .+)? \(.+ (?:Group|Grex)\)"),
    "cultivar": re.compile(r"([^']+) '(.+)'"),
}
_WRONG = (
    (re.compile(r"[\"“”‟„]"), "double quotes; a cultivar epithet stands in single ones"),
    (re.compile(r"[‘’‛`´]"), "a curly or slanted quote; write the straight one (')"),
    (re.compile(r"\bcv\.?(?=\s|$)"), "'cv.', which the code of cultivated plants no longer allows"),
    (re.compile(r"(?:^|\s)[xX]\s"), "the letter x for the hybrid sign ×"),
    (re.compile(r"\bssp\b\.?"), "'ssp.'; write subsp."),
    (re.compile(r"\bsp\.|\bspp\b\.?"), "'sp.', which names no taxon"),
    (re.compile(r"\s\s|^\s|\s$|[\t\u00a0]"), "a space too many"),
    (re.compile(r"×(?=[a-z])"), "no space after the hybrid sign"),
)  # fmt: skip


def nomenclature(taxon: Taxon) -> Iterator[Verdict]:
    """Verdicts on how a taxon's names are written."""
    wrong = list(_slips(taxon.name))
    yield from (("fault", f"the name has {slip}") for slip in wrong)
    for synonym in taxon.synonyms:
        yield from (("look", f"the synonym {synonym} has {slip}") for slip in _slips(synonym))
    if len(set(taxon.synonyms)) < len(taxon.synonyms):
        yield "look", "a synonym is given twice"
    if wrong:
        return
    if _RANKS[taxon.rank].fullmatch(taxon.name) is None:
        yield "fault", f"the name is not written as that of a {taxon.rank}"
    elif taxon.rank == "cultivar":
        yield from _epithet(taxon)
    if taxon.trade_designation and re.search("^'|'$", taxon.trade_designation):
        yield "fault", f"the trade designation {taxon.trade_designation} in quotes, which belong to cultivar epithets"


def _slips(name: str) -> list[str]:
    return [said for pattern, said in _WRONG if pattern.search(name)]


def _epithet(taxon: Taxon) -> Iterator[Verdict]:
    found = _RANKS["cultivar"].fullmatch(taxon.name)
    assert found is not None
    before, epithet = found.groups()
    # A name of a plant with more than one quoted part has a Group or trade designation in the wrong place.
    if "' '" in epithet:
        yield "fault", "the name has more than one epithet in quotes"
        return
    length = len(re.sub(r"[\s']", "", epithet))
    if length > LONGEST:
        yield "look", f"an epithet of {length} characters; from 1996 on at most {LONGEST} are allowed"
    for number, word in enumerate(epithet.split()):
        first = next((letter for letter in word if letter.isalpha()), "")
        if first.islower() and (number == 0 or re.split(r"['’-]", word.strip("'"))[0].casefold() not in SMALL):
            yield "look" if number else "fault", f"the epithet's word '{word}' has no capital"
    if re.fullmatch(rf"{_GENUS}(?: .+)?", before) is None:
        yield "fault", f"'{before}' before the epithet is no botanical name"
