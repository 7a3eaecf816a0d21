"""Ground cover and bare soil."""
