"""The reading room: exports → raw.*, every cell as text, with its file and row."""

from unsnag.read.reading import read_source
from unsnag.read.source import FileRecord, SourceLayout

__all__ = ["FileRecord", "SourceLayout", "read_source"]
