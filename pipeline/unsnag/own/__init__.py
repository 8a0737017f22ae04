"""Analyses of a network's own: modules in the workspace's folder analyses/, with the contract of ours.

They see the private mart, read-only, so that what they give is published through a floor: only rows that rest on
clinics and animals enough, no days, no places, no word that is private.
"""

from unsnag.own.computing import Own, check, compute_all, write

__all__ = ["Own", "check", "compute_all", "write"]
