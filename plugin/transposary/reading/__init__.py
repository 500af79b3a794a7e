"""Text to model: the entries folder read into a glossary."""

from transposary.reading.reader import BrokenEntry, Reading, read_entry, read_glossary

__all__ = ["BrokenEntry", "Reading", "read_entry", "read_glossary"]
