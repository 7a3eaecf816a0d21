"""Substitutes: one plant in the place of another."""
