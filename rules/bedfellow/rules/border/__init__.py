"""The plan grown in space and time."""
