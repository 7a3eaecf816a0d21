"""Checks that a practice writes itself, in YAML, with conditions in the Common Expression Language."""
