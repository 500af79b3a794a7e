"""Capture: what was just played, written down as the draft of an entry."""
