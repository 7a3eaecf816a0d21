"""Positions drawn or measured elsewhere, made into a plan."""
