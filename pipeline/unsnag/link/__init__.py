"""The link room: standard.* → link.*: which stays are one animal's, and why."""

from unsnag.link.building import build

__all__ = ["build"]
