"""Editions: a year's report kept as it was published, and what has changed since, so that a paper can cite it.

editions/<year>/<number>/          the report, its tables and pictures, SHA256SUMS, citation.txt: may be handed on
private/editions/<year>/<number>/  record.json and cases.parquet: what the edition rests on, case by case
"""

from unsnag.editions.changes import Changes, since
from unsnag.editions.freeze import Edition, freeze, newest

__all__ = ["Changes", "Edition", "freeze", "newest", "since"]
