"""Plants on a list, judged together without a plan: no distance is known, so none is judged."""
