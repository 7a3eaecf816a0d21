"""Layers and what hides what."""
