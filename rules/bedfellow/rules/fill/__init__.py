"""Temporary planting."""
