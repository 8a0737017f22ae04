"""Pure functions on arrays: no database, no clock, nothing of ours imported from outside this package."""
