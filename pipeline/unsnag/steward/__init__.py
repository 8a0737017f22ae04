"""The steward's room: the store → private/steward.html: how the network stands, and what to do next, in order."""

from unsnag.steward.writing import write

__all__ = ["write"]
