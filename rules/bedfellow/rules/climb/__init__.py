"""Climbers and supports."""
