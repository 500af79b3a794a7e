"""Transposary: a musician's glossary of devices, proved and engraved in every key."""

__version__ = "0.1.0"
