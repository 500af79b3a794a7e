"""Text to model: the entries folder read into a glossary."""
