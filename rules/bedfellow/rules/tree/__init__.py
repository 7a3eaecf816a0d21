"""Trees near buildings."""
