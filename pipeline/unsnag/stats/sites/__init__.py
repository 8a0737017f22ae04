"""Statistics of places: where tackle cases gather, what to expect there, where bins help, whether they did.

Pure functions on arrays: no database, no clock, an explicit seed wherever chance is drawn.
"""
