"""Entries of other glossaries: read, checked as strangers, and set beside the glossary's own."""

from transposary.importing.imports import read_all

__all__ = ["read_all"]
