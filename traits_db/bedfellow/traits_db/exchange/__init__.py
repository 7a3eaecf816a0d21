"""Trait values as tables: rows of a file ─→ what they say ─→ a store, and back.

Long form: a row a value (taxon, trait, value, source …). Wide form: a row a plant, a column a trait.
"""
