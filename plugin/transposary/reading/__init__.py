"""Text to model: entries, notation and charts, with the place of everything that is wrong."""
