"""The charts of the report: a module a picture, each with ``chart(frame, width)`` and ``alt_text(frame)``."""
