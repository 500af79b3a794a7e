"""How explanations are worded: every phrase a reader meets, in one place.

Plain words of the trade, degrees with ♭ and ♯, one thought a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from transposary.notes import Note
from transposary.passage import Hand, Passage
from transposary.pitch import Degree, Interval, pretty
from transposary.theory.degrees import degree_of
from transposary.theory.explanation import ChordFact, Explanation
from transposary.theory.functions import Function
from transposary.theory.interval_names import name_interval
from transposary.theory.keys import between_tonics, key_at

_ORDINAL = {1: "1st", 2: "2nd", 3: "3rd", 4: "4th", 5: "5th", 6: "6th", 7: "7th"}
FUNCTION_REASONS = {
    Function.CHORD_TONE: "belongs to the chord",
    Function.TENSION: "colours the chord without contradicting it",
    Function.PASSING: "fills the way by step from one note to the next",
    Function.NEIGHBOUR: "steps away from a note and comes back",
    Function.FROM_BELOW: "leads into the next chord tone from below",
    Function.FROM_ABOVE: "leads into the next chord tone from above",
    Function.ENCLOSURE: "surrounds the coming chord tone from one side",
    Function.APPOGGIATURA: "leans on a strong place and resolves by step",
    Function.ESCAPE: "steps away and leaves by leap",
    Function.ANTICIPATION: "belongs to the coming chord and is there early",
    Function.SUSPENSION: "is held over from the last chord and resolves by step",
    Function.PEDAL: "stays while the chords move over it",
    Function.FREE: "stands on its own",
    Function.UNJUDGED: "has no chord to be judged by",
}


def say_degree(degree: Degree) -> str:
    """Names a degree of the key: `the tonic`, `the 4th`, `the ♭3rd`."""
    if degree == Degree(1):
        return "the tonic"
    sign = pretty(str(degree)).rstrip("0123456789")
    return f"the {sign}{_ORDINAL[degree.number]}"


def pretty_quality(quality: str) -> str:
    """Writes a quality for readers: `major 7th ♭5`, `major 7th`."""
    return re.sub(r"(?<![a-z])b(?=\d)", "♭", quality).replace("#", "♯")


def say_distance(interval: Interval) -> str:
    """Names a distance: `a semitone`, `a whole step`, `a major third`, `a fourth`, `an octave`."""
    size = abs(interval.semitones)
    if size in (1, 2):
        return "a semitone" if size == 1 else "a whole step"
    name = name_interval(interval).removeprefix("perfect ")
    return f"an {name}" if name[0] in "aeo" else f"a {name}"


def say_step(interval: Interval) -> str:
    """Says where a line goes: `up a semitone`, `down a fourth`, `again`."""
    if interval == Interval(0, 0):
        return "again"
    return f"{'up' if interval.semitones > 0 else 'down'} {say_distance(interval)}"


def say_key(interval: Interval) -> str:
    """Names the key that follows by the way from the tonic before: `in the key a semitone higher`."""
    return f"in the key {say_distance(interval)} {'higher' if interval.semitones > 0 else 'lower'}"


def motion_sentences(passage: Passage, explanation: Explanation) -> tuple[str, ...]:
    """Says how bass and top move, or the only line where they are the same."""
    bass, top = explanation.bass, explanation.top
    if [note.index for note in top] == [note.index for note in bass]:
        return (_say_motion(passage, "The line", bass),)
    left = any(note.hand is Hand.LEFT for note in bass)
    low = "The bass" if left else "The lower line"
    return (_say_motion(passage, low, bass), _say_motion(passage, "The top line", top))


def double_stop_sentences(explanation: Explanation) -> tuple[str, ...]:
    """Says which intervals the double stops are; nothing where there are none, or only one."""
    intervals = explanation.double_stops
    return (f"The double stops are {' '.join(map(str, intervals))}.",) if len(intervals) > 1 else ()


def progression_parts(explanation: Explanation, numerals: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Names what the harmony does, each time the numerals and their name.

    Args:
        explanation: The explanation.
        numerals: The numerals of the chord symbols, for readers.
    """
    return tuple((" ".join(numerals[one.first : one.last + 1]), one.name) for one in explanation.progressions)


def say_chord(fact: ChordFact) -> str:
    """Names a chord struck: `dominant 9th on the 5th, rootless, close`."""
    if fact.shape is None:
        bottom, *others = (note.pitch for note in fact.strike.sounding)
        above = ", ".join(name_interval(bottom.to(pitch)) for pitch in others)
        return f"{above} above {say_degree(Degree.between(fact.tonic, bottom.name))}"
    root = say_degree(Degree.between(fact.tonic, fact.shape.root))
    spacing = f", {fact.spacing}" if fact.spacing else ""
    return f"{pretty_quality(fact.shape.quality)} on {root}, {fact.shape.position}{spacing}"


def _say_motion(passage: Passage, line: str, outer: Sequence[Note]) -> str:
    degrees = _counted(passage, outer)
    if len(outer) == 1:
        return f"{line} stays on {degrees[0]}."
    steps = [low.pitch.to(high.pitch) for low, high in pairwise(outer)]
    path = " ".join(degrees)
    return f"{line} {_manner(steps)}: {path}."


def _counted(passage: Passage, outer: Sequence[Note]) -> list[str]:
    """Degrees from the tonic in force, the first one in another key after the name of that key."""
    tonic = passage.key.tonic
    found = []
    for note in outer:
        degree = pretty(str(degree_of(passage, note)))
        here = key_at(passage, note.onset).tonic
        found.append(degree if here == tonic else f"({say_key(between_tonics(tonic, here))}) {degree}")
        tonic = here
    return found


def _manner(steps: Sequence[Interval]) -> str:
    """How a line moves as a whole."""
    sizes = [step.semitones for step in steps]
    stepwise = all(abs(size) <= 2 for size in sizes)
    if not stepwise:
        return "moves" if any(abs(size) <= 2 for size in sizes) else "leaps"
    by = "semitones" if all(abs(size) == 1 for size in sizes) else "step"
    if all(size > 0 for size in sizes):
        return f"climbs by {by}"
    return f"descends by {by}" if all(size < 0 for size in sizes) else f"moves by {by}"
