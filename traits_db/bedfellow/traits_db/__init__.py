"""What is known of plants: records, sources, names, inheritance and the store."""
