"""The winter skeleton."""
