"""The first form of the tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "1"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "revision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("reverts", sa.Integer(), nullable=True),
        sa.CheckConstraint("kind IN ('change', 'load', 'import', 'revert')", name="kind_known"),
        sa.CheckConstraint("who <> '' AND why <> ''", name="revision_signed"),
        sa.ForeignKeyConstraint(
            ["reverts"],
            ["revision.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "source",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("author", sa.String(), nullable=False),
        sa.Column("date", sa.String(), nullable=False),
        sa.CheckConstraint("key <> '' AND title <> ''", name="source_named"),
        sa.PrimaryKeyConstraint("key"),
    )
    op.create_table(
        "taxon",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("rank", sa.String(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("parent", sa.String(), nullable=True),
        sa.Column("parents", sa.String(), nullable=False),
        sa.Column("trade_designation", sa.String(), nullable=True),
        sa.Column("layer", sa.String(), nullable=False),
        sa.CheckConstraint("layer IN ('shipped', 'own')", name="layer_known"),
        sa.CheckConstraint(
            "rank IN ('genus', 'species', 'hybrid', 'subspecies', 'variety', 'group', 'cultivar')", name="rank_known"
        ),
        sa.ForeignKeyConstraint(
            ["parent"],
            ["taxon.name"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("key"),
        sa.UniqueConstraint("name"),
    )
    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("taxon", sa.String(), nullable=False),
        sa.Column("item", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("layer", sa.String(), nullable=False),
        sa.Column("was", sa.String(), nullable=True),
        sa.Column("became", sa.String(), nullable=True),
        sa.CheckConstraint("subject IN ('value', 'plant', 'source', 'offer')", name="subject_known"),
        sa.CheckConstraint("was IS NOT NULL OR became IS NOT NULL", name="change_of_something"),
        sa.ForeignKeyConstraint(
            ["revision_id"],
            ["revision.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("change_of", "change", ["taxon", "item"], unique=False)
    op.create_index("ix_change_revision_id", "change", ["revision_id"], unique=False)
    op.create_table(
        "name",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("taxon_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.CheckConstraint("kind IN ('synonym', 'common')", name="kind_known"),
        sa.ForeignKeyConstraint(
            ["taxon_id"],
            ["taxon.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("taxon_id", "kind", "text"),
    )
    op.create_index("ix_name_key", "name", ["key"], unique=False)
    op.create_table(
        "offer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("nursery", sa.String(), nullable=False),
        sa.Column("plant", sa.String(), nullable=False),
        sa.Column("taxon_id", sa.Integer(), nullable=True),
        sa.Column("form", sa.String(), nullable=False),
        sa.Column("size", sa.String(), nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("available_from", sa.String(), nullable=False),
        sa.Column("available_to", sa.String(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=True),
        sa.CheckConstraint("available_to = '' OR available_from <= available_to", name="available_in_order"),
        sa.CheckConstraint(
            "form IN ('bare-root', 'root-balled', 'container', 'plug', 'bulb', 'tuber', 'seed')", name="form_known"
        ),
        sa.CheckConstraint("length(currency) = 3 AND currency = upper(currency)", name="currency_iso_4217"),
        sa.CheckConstraint("price >= 0", name="price_not_negative"),
        sa.CheckConstraint("quantity >= 0", name="quantity_not_negative"),
        sa.ForeignKeyConstraint(
            ["taxon_id"],
            ["taxon.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("nursery", "plant", "form", "size"),
    )
    op.create_index("ix_offer_taxon_id", "offer", ["taxon_id"], unique=False)
    op.create_table(
        "statement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("taxon_id", sa.Integer(), nullable=False),
        sa.Column("trait", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("confidence", sa.String(), nullable=False),
        sa.Column("date", sa.String(), nullable=False),
        sa.Column("layer", sa.String(), nullable=False),
        sa.CheckConstraint("(source = 'memory') = (method = 'memory')", name="memory_is_no_source"),
        sa.CheckConstraint("confidence IN ('high', 'medium', 'low')", name="confidence_known"),
        sa.CheckConstraint("layer IN ('shipped', 'own')", name="layer_known"),
        sa.CheckConstraint("method <> 'memory' OR confidence <> 'high'", name="memory_is_never_sure"),
        sa.CheckConstraint("method IN ('measured', 'published', 'memory')", name="method_known"),
        sa.ForeignKeyConstraint(
            ["source"],
            ["source.key"],
        ),
        sa.ForeignKeyConstraint(
            ["taxon_id"],
            ["taxon.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("taxon_id", "trait", "source", "layer"),
    )
    op.create_table(
        "version",
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["revision_id"],
            ["revision.id"],
        ),
        sa.PrimaryKeyConstraint("hash"),
    )
