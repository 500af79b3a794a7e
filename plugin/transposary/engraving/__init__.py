"""Passage to MusicXML, MusicXML to SVG, and MIDI: the only room that knows verovio."""

from transposary.engraving.figures import Engraving, EngravingFailure, Job, shared_defs
from transposary.engraving.pool import engrave

__all__ = ["Engraving", "EngravingFailure", "Job", "engrave", "shared_defs"]
