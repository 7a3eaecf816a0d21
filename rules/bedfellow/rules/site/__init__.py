"""Soil and climate against what a plant bears."""
