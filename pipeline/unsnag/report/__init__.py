"""The yearly report: public.* and report.toml become sections, the sections become one HTML file."""

from unsnag.report.html import write_report
from unsnag.report.tables import write_tables

__all__ = ["write_report", "write_tables"]
