"""A store of plants that a practice or nursery writes to: SQLite in a file, or PostgreSQL by URL.

    address ─→ opening (create, upgrade, open) ─→ TeamStore ─┬─ reading ─→ contents ─→ snapshot, export
                                                            └─ writing ─→ values, plants, offers ─→ history

Shipped records are one layer, the team's own words another that wins. Linting never comes here: it reads a snapshot.
"""
