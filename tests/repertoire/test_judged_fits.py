"""Fits judged by hand: what a player would and would not play over a chart, and why."""

from __future__ import annotations

from typing import NamedTuple

from tests.theory.build import build
from transposary.glossary import Device, Frame, Role
from transposary.passage import STRAIGHT, Feel, FeelKind, Passage
from transposary.problems import Place, SourceText
from transposary.repertoire import Fit
from transposary.song import Song

HERE = Place("devices/x.md")
SWING = Feel(FeelKind.SWING)


def _device(passage: Passage, frame: Frame = Frame.KEY, over: str = "", feel: Feel = STRAIGHT) -> Device:
    texts = (SourceText(over, HERE),) if over else ()
    return Device("x", "X", "X.", (Role.BASS,), passage, HERE, HERE, frame=frame, over=texts, feel=feel)


WALK = build(LH="G2:2 A2 B2 C3:4", chords="0 G7; 4 C7", key="G")
CLIMB = _device(WALK)
CLIMB_ANYWHERE = _device(WALK, Frame.MOTION)
TWO_FIVE = build("F4:4 F4:4 E4:8", chords="0 Dm7; 4 G7; 8 Cmaj7", key="C")
GUIDE = _device(TWO_FIVE)
GUIDE_ANYWHERE = _device(TWO_FIVE, Frame.MOTION)
SLIDE = _device(build("F4:4 F4:4 E4:8", chords="0 Dm7; 4 Db7; 8 Cmaj7", key="C"), Frame.MOTION)
MINOR = _device(build("C4:4 B3:4 C4:4", chords="0 Dm7b5; 4 G7; 8 Cm", key="C minor"))
LICK = _device(build("E4 G4 Bb4 A4", chords="0 C7"), Frame.CHORD)
MAJOR_RUN = _device(build("E4 G4 B4 D5", chords="0 Cmaj7"), Frame.CHORD)
THROUGH = _device(build(LH="C3:2 C#3:2 D3:4", chords="0 C; 2 C#dim7; 4 Dm7"), over="I | ii7")
VAMP = _device(build("D4 F4 A4 F4 D4 F4 B4 F4", chords="0 Dm7; 4 G7", key="D dorian"))
SWUNG = _device(WALK, feel=SWING)


class Case(NamedTuple):
    """A device over a chart, and the place that a player would give it."""

    name: str
    device: Device
    song: Song
    bars: tuple[int, int] | None
    tonic: str = ""
    score: float = 0.0
    adapted: tuple[str, ...] = ()
    reason: str = ""


CASES: list[Case] = []


def _spots(fit: Fit) -> tuple[tuple[int, int], str]:
    return (fit.first, fit.last), str(fit.tonic)


if __name__ == "__main__":
    pass
