"""Room: spacing and crowding in three dimensions."""
