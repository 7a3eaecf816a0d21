"""Cautions."""
