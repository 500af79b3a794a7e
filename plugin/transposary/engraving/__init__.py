"""Passage to MusicXML, MusicXML to SVG, and MIDI: the only room that knows verovio."""

from transposary.engraving.figures import Engraving, EngravingFailure, Job, shared_defs
from transposary.engraving.notation import Lettered
from transposary.engraving.pool import EngraversError, Press, engrave, executor_of

__all__ = [
    "EngraversError",
    "Engraving",
    "EngravingFailure",
    "Job",
    "Lettered",
    "Press",
    "engrave",
    "executor_of",
    "shared_defs",
]
