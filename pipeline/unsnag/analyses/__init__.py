"""The analyses: a module per question. Each reads mart.*, calls stats, and returns one tidy frame.

A module has TITLE, QUESTION, CAUTION, COLUMNS (column → meaning with unit) and ``compute(mart)``; it is found by
being in this folder, and its frame becomes the table result.<module>.
"""
