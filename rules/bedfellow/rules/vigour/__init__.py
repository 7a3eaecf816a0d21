"""Self-seeding and spreaders."""
