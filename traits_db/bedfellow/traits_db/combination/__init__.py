"""Plants together without a place: what ground and sky all of them bear, and which pairs cannot share any."""
