"""What sounds under each label of the chorale analyses, from the scores in music21's package."""

from collections.abc import Iterator
from dataclasses import dataclass

from music21 import corpus
from music21.stream import Measure, Score

from tests.outside.chorales import Label
from transposary.pitch import Pitch


@dataclass(frozen=True)
class Chorale:
    """The score that goes with an analysis.

    Attributes:
        last_measure: Number of its last measure.
        last_bass: Name of its last bass note.
        notes: Onset, end and pitch of all notes, in quarters.
        measures: Number, onset, length and missing beats of its measures; both parts of a
            measure that a repeat divides have one number.
    """

    last_measure: int
    last_bass: str
    notes: tuple[tuple[float, float, Pitch], ...]
    measures: tuple[tuple[int, float, float, float], ...]

    def sounding(self, label: Label) -> tuple[Pitch, ...]:
        """Gives what sounds at the beat of a label, from the bass up; nothing past the end."""
        onset = self.onset(label)
        if onset is None:
            return ()
        found = [pitch for begun, end, pitch in self.notes if begun <= onset < end]
        return tuple(sorted(found, key=lambda pitch: pitch.midi))

    def onset(self, label: Label) -> float | None:
        """Gives where a label stands, in quarters; None past the end."""
        parts = [part for part in self.measures if part[0] == label.measure]
        # Only the first part of a measure can begin late (a pickup).
        into = label.beat - 1 - (parts[0][3] if parts else 0)
        for _, onset, length, _ in parts:
            if into < length:
                return onset + into
            into -= length
        return None


def chorale(number: int) -> Chorale:
    """Reads one score by its number in Riemenschneider's edition."""
    (score,) = corpus.chorales.Iterator(number, number, numberingSystem="riemenschneider")
    bass = score.parts[-1]
    measures = tuple(bass.getElementsByClass(Measure))
    last = list(bass.flatten().notes)[-1]
    return Chorale(
        measures[-1].number,
        _name(last.pitch.name),
        tuple(_notes(score)),
        tuple(
            (one.number, float(one.offset), float(one.duration.quarterLength), float(one.paddingLeft))
            for one in measures
        ),
    )


def _notes(score: Score) -> Iterator[tuple[float, float, Pitch]]:
    for note in score.recurse().notes:
        onset = float(note.getOffsetInHierarchy(score))
        for pitch in note.pitches:
            yield onset, onset + float(note.duration.quarterLength), Pitch.parse(_name(pitch.nameWithOctave))


def _name(text: str) -> str:
    return text.replace("-", "b")
