"""Interest through the year."""
