"""Asking a store for plants: what is asked for, how well a plant meets it, and those that meet it best."""
