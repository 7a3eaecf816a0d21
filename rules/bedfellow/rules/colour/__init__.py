"""Colours seen together."""
