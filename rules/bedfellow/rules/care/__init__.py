"""Aftercare: hours, reach, staking, renewal and water."""
