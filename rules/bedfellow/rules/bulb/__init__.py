"""Bulbs and die-back."""
