"""Schedule, quantities and names."""
