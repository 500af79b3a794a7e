"""Text to model: the entries folder read into a glossary."""

from transposary.reading.reader import BrokenEntry, Read, Reading, read_entry, read_glossary

__all__ = ["BrokenEntry", "Read", "Reading", "read_entry", "read_glossary"]
