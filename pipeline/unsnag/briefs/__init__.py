"""A brief for each council: two pages as HTML and PDF, and its sites as GeoJSON and CSV, from public.* alone."""

from unsnag.briefs.writing import councils, read, write_briefs

__all__ = ["councils", "read", "write_briefs"]
