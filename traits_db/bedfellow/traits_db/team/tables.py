"""Tables of a team's store. Their form is numbered by the last migration.

source ◁─ statement ─▷ taxon ◁─ name          revision ◁─ change
              (layer)     △───── offer           △────── version

Every write belongs to a revision: who, when and why. Each of its changes keeps what was and what became, as JSON.
"""

from __future__ import annotations

from sqlalchemy import BigInteger, CheckConstraint, Column, Index, Table, UniqueConstraint
from sqlalchemy.orm import registry
from sqlmodel import Field, SQLModel

from bedfellow.traits_db.records import CONFIDENCE, RANKS

HEAD = "1"
OLDER: tuple[str, ...] = ()
LAYERS = ("shipped", "own")
METHODS = ("measured", "published", "memory")
NAME_KINDS = ("synonym", "common")
SUBJECTS = ("value", "plant", "source", "offer")
KINDS = ("change", "load", "import", "revert")
# What a nursery sells: as in the table of traits, under supply_forms.
FORMS = ("bare-root", "root-balled", "container", "plug", "bulb", "tuber", "seed")


def _one_of(column: str, words: tuple[str, ...]) -> CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_known")


class Base(SQLModel, registry=registry()):
    """Apart from the tables of a snapshot, some of which have the same names."""


class Source(Base, table=True):
    """A citable work."""

    __tablename__ = "source"
    __table_args__ = (CheckConstraint("key <> '' AND title <> ''", name="source_named"),)
    key: str = Field(primary_key=True)
    title: str
    author: str = ""
    date: str = ""


class Taxon(Base, table=True):
    """A taxon. key: the name as it is looked up; parents: of a hybrid, a JSON list of names."""

    __tablename__ = "taxon"
    __table_args__ = (_one_of("rank", RANKS), _one_of("layer", LAYERS))
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    key: str = Field(unique=True)
    rank: str
    family: str = ""
    parent: str | None = Field(default=None, foreign_key="taxon.name")
    parents: str = "[]"
    trade_designation: str | None = None
    layer: str


class Name(Base, table=True):
    """Another name of a taxon, in its place among those of its kind."""

    __tablename__ = "name"
    __table_args__ = (_one_of("kind", NAME_KINDS), UniqueConstraint("taxon_id", "kind", "text"))
    id: int | None = Field(default=None, primary_key=True)
    taxon_id: int = Field(foreign_key="taxon.id")
    kind: str
    text: str
    key: str = Field(index=True)


class Statement(Base, table=True):
    """One source's word on one trait of one taxon, in one layer. value: JSON of ``values.pack``."""

    __tablename__ = "statement"
    __table_args__ = (
        UniqueConstraint("taxon_id", "trait", "source", "layer"),
        _one_of("layer", LAYERS),
        _one_of("method", METHODS),
        _one_of("confidence", CONFIDENCE),
        CheckConstraint("(source = 'memory') = (method = 'memory')", name="memory_is_no_source"),
        CheckConstraint("method <> 'memory' OR confidence <> 'high'", name="memory_is_never_sure"),
    )
    id: int | None = Field(default=None, primary_key=True)
    taxon_id: int = Field(foreign_key="taxon.id")
    trait: str
    value: str
    source: str = Field(foreign_key="source.key")
    method: str
    confidence: str
    date: str = ""
    layer: str


class Revision(Base, table=True):
    """One write. at: UTC, ISO 8601; reverts: the revision that it takes back."""

    __tablename__ = "revision"
    __table_args__ = (
        _one_of("kind", KINDS),
        CheckConstraint("who <> '' AND why <> ''", name="revision_signed"),
    )
    id: int | None = Field(default=None, primary_key=True)
    at: str
    who: str
    why: str
    kind: str
    reverts: int | None = Field(default=None, foreign_key="revision.id")


class Change(Base, table=True):
    """What one write did to one thing: from `was` to `became`, JSON of its state; NULL where it was not there.

    item: the trait of a value, the key of a source, the form and size of an offer.
    """

    __tablename__ = "change"
    __table_args__ = (
        _one_of("subject", SUBJECTS),
        CheckConstraint("was IS NOT NULL OR became IS NOT NULL", name="change_of_something"),
        Index("change_of", "taxon", "item"),
    )
    id: int | None = Field(default=None, primary_key=True)
    revision_id: int = Field(foreign_key="revision.id", index=True)
    subject: str
    taxon: str
    item: str
    source: str
    layer: str
    was: str | None = None
    became: str | None = None


class Offer(Base, table=True):
    """What a nursery sells, in one form and size. plant: as the nursery writes it; price in thousandths of the currency.

    size: as the trade writes it, such as 2 L, 9 cm or 12-14 cm girth; available_from and _to: dates, ISO 8601, or "".
    """

    __tablename__ = "offer"
    __table_args__ = (
        UniqueConstraint("nursery", "plant", "form", "size"),
        _one_of("form", FORMS),
        CheckConstraint("price >= 0", name="price_not_negative"),
        CheckConstraint("length(currency) = 3 AND currency = upper(currency)", name="currency_iso_4217"),
        CheckConstraint("quantity >= 0", name="quantity_not_negative"),
        CheckConstraint("available_to = '' OR available_from <= available_to", name="available_in_order"),
    )
    id: int | None = Field(default=None, primary_key=True)
    nursery: str
    plant: str
    taxon_id: int | None = Field(default=None, foreign_key="taxon.id", index=True)
    form: str
    size: str
    price: int = Field(sa_column=Column(BigInteger, nullable=False))
    currency: str
    available_from: str = ""
    available_to: str = ""
    quantity: int | None = None


class Version(Base, table=True):
    """A snapshot that was written: its hash, and the last revision in it."""

    __tablename__ = "version"
    hash: str = Field(primary_key=True)
    revision_id: int | None = Field(default=None, foreign_key="revision.id")
    at: str
    who: str


def table(name: str) -> Table:
    """A table by its name."""
    return Base.metadata.tables[name]
