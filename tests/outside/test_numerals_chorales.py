"""Numerals against human analyses of chorales, read from music21's package at test time.

Twenty chorales of the Riemenschneider edition, analysed by D. Tymoczko, A. Jones and others,
proofread by H. Robb.
"""

from collections import Counter

from tests.outside.chorales import Label, labels
from transposary.theory.numerals import Numeral, numeral_of, parse_numeral, realise

LABELS = tuple(labels())


def _numeral(label: Label) -> Numeral:
    return numeral_of(label.chord, label.key)


def test_realised_chords_get_the_degree_of_the_analyst() -> None:
    """From the notes of each label to its degree and case, at least 98 in a hundred."""
    missed = Counter(
        (label.figure, str(label.key), str(numeral))
        for label in LABELS
        if (numeral := _numeral(label)).root != label.root
        or (str(numeral).strip("b#")[0].islower() != label.small)
    )
    assert len(LABELS) > 1100
    assert missed.total() <= 0.02 * len(LABELS)


def test_the_numerals_of_the_analyses_read_back() -> None:
    """Every chord that the analysts meant has a numeral that prints, reads and realises it."""
    for label in LABELS:
        numeral = _numeral(label)
        assert parse_numeral(str(numeral)) == numeral
        chord = realise(numeral, label.key)
        assert set(chord.names) == {pitch.name for pitch in label.pitches}
        assert (chord.bass or chord.root) == label.pitches[0].name
