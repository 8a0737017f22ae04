"""The yearly report: public.* and report.toml become sections, the sections become a page, a PDF and pictures."""

from unsnag.report.tables import write_tables
from unsnag.report.writing import write_report

__all__ = ["write_report", "write_tables"]
