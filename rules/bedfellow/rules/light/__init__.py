"""Light where a plant stands."""
