"""The demo glossary, read once for all tests of a process."""

from pathlib import Path

from transposary.reading import read_glossary

ENTRIES = Path(__file__).parents[1] / "entries"
GLOSSARY = read_glossary(ENTRIES).glossary
