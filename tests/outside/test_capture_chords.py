"""Chord symbols proposed for notes, against what the demo's author and analysts of chorales wrote.

Source of the analyses: Roman numerals inside music21's package; see `chorales`. The demo's symbols are
its author's, for voicings that often leave roots out: such a chord may well be named otherwise.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tests.outside.chorale_scores import chorale
from tests.outside.chorales import labels
from tests.outside.played import demo_pieces
from transposary.notes import attacks
from transposary.passage import Bar, Chord, Meter
from transposary.theory.chordfinding import FoundChord, Sounding, find_chords

_CHORALES = (1, 4, 7, 10)
_FOUR = Meter(4, 4)


def _at(found: Sequence[FoundChord], onset: Fraction) -> Chord | None:
    before = [one.symbol.chord for one in found if one.symbol.onset <= onset]
    return before[-1] if before else None


def _third(chord: Chord) -> int | None:
    tones = {tone.semitones % 12 for tone in chord.tones}
    return 4 if 4 in tones else 3 if 3 in tones else None


def _alike(ours: Chord | None, theirs: Chord) -> bool:
    """Tells whether two chords have one root and one kind of third."""
    return (
        ours is not None
        and ours.root.pitch_class == theirs.root.pitch_class
        and _third(ours) == _third(theirs)
    )


def _demo() -> Iterator[bool]:
    for piece in demo_pieces():
        passage = piece.passage
        sounding = [Sounding(one.pitch.midi, one.onset, one.end) for one in attacks(passage)]
        found = find_chords(sounding, passage.bars, passage.key)
        if found and all(one.stated for one in found):
            for symbol in passage.symbols:
                if symbol.chord is not None:
                    yield _alike(_at(found, symbol.onset), symbol.chord)


def test_chords_that_a_device_states_are_those_of_its_author() -> None:
    """Where three tones sound together all along, 84 in a hundred of the author's symbols are proposed."""
    right = list(_demo())
    assert len(right) >= 80
    assert sum(right) / len(right) >= 0.84


def _analysed() -> Iterator[bool]:
    for number in _CHORALES:
        score = chorale(number)
        own = [label for label in labels() if label.chorale == number]
        exact = [
            Sounding(pitch.midi, Fraction(start).limit_denominator(48), Fraction(end).limit_denominator(48))
            for start, end, pitch in score.notes
        ]
        last = max(one.end for one in exact)
        bars = [Bar(count + 1, Fraction(4 * count), Fraction(4), _FOUR) for count in range(-int(-last // 4))]
        found = find_chords(exact, bars, own[0].key)
        for label in own:
            onset = score.onset(label)
            if onset is not None:
                yield _alike(_at(found, Fraction(onset).limit_denominator(48)), label.chord)


def test_chords_of_chorales_are_those_of_their_analysts() -> None:
    """Root and third are the analyst's for 84 in a hundred numerals, without the local key being told."""
    right = list(_analysed())
    assert len(right) >= 200
    assert sum(right) / len(right) >= 0.84
