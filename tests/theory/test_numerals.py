"""Roman numerals in players' style."""

import pytest
from hypothesis import given

from tests import strategies
from transposary.passage import Chord, Key
from transposary.pitch import Degree
from transposary.problems import Fault
from transposary.theory.chords import parse_chord
from transposary.theory.keys import parse_key
from transposary.theory.numerals import (
    Numeral,
    numeral_of,
    parse_numeral,
    pretty_numeral,
    realise,
)


def _key(text: str) -> Key:
    key = parse_key(text)
    assert isinstance(key, Key), key
    return key


def _chord(text: str) -> Chord:
    chord = parse_chord(text)
    assert isinstance(chord, Chord), chord
    return chord


def _numeral(text: str) -> Numeral:
    numeral = parse_numeral(text)
    assert isinstance(numeral, Numeral), numeral
    return numeral


@pytest.mark.parametrize(
    ("key", "symbols", "numerals"),
    [
        ("C", "C Dm Em F G Am Bdim", "I ii iii IV V vi viio"),
        ("C", "Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5", "Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7"),
        ("Am", "Am Bm7b5 C Dm7 E7 F G G#dim7", "i iiø7 bIII iv7 V7 bVI bVII viio7"),
        ("D dorian", "Dm7 Em7 Fmaj7 G7 C", "i7 ii7 bIIImaj7 IV7 bVII"),
        ("G mixolydian", "G F/G C/G", "I bVII/1 IV/1"),
        ("F", "F7 Bb7 C9 Db7 Gb F6 F69", "I7 IV7 V9 bVI7 bII I6 I69"),
        ("Eb", "Adim7 Eb/Bb Cm7 F7/A Ab6", "#ivo7 I/5 vi7 II7/#4 IV6"),
        (
            "E",
            "E+ B+7 Emaj7#5 Bsus4 B7sus4 B13(b9) E5 E(add9)",
            "I+ V+7 I+maj7 Vsus4 V7sus4 V13(b9) I5 I(add9)",
        ),
        ("Bm", "Bm(maj7) Bm6 Bm9 Bm(add9) C/E", "imaj7 i6 i9 i(add9) bII/4"),
        ("C", "C6/G Cm6/Eb C69/E", "I(add6)/5 i(add6)/b3 I69/3"),
        ("C", "Ab7 Ab7b5 Ab7(no5)", "bVI7 bVI7(b5) bVI7(no5)"),
        ("Gb", "Abm7 Db7 Gbmaj7 Fb7 Cb", "ii7 V7 Imaj7 bVII7 IV"),
    ],
)
def test_chords_are_counted_from_the_major_scale(key: str, symbols: str, numerals: str) -> None:
    """Case gives the third, the figure the rest, in every mode."""
    found = [str(numeral_of(_chord(symbol), _key(key))) for symbol in symbols.split()]
    assert found == numerals.split()


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("♭VII7", "bVII7"),
        ("vii°7", "viio7"),
        ("iiØ", "iiø7"),
        ("I6/9", "I69"),
        ("I^7", "Imaj7"),
        ("IM7", "Imaj7"),
        ("iΔ7", "imaj7"),
        ("V7b9", "V7(b9)"),
        ("V7(#9,b13)", "V7(#9,b13)"),
        ("V7(b9♯11)", "V7(b9,#11)"),
        ("Vaug", "V+"),
        ("V7(#5)", "V+7"),
        ("viidim", "viio"),
        ("Valt", "V7alt"),
        ("I/1", "I"),
        ("V7/ii", "V7/ii"),
        ("V7/V/#4", "V7/V/#4"),
        ("viio7/V", "viio7/V"),
        ("V7/V/2", "V7/V"),
        ("iv7/b3", "iv7/b3"),
        ("iadd9", "i(add9)"),
        ("V/V/V", "V/V/V"),
    ],
)
def test_numerals_are_read_in_the_ways_players_write_them(written: str, printed: str) -> None:
    """Printed signs and the aliases of chord symbols mean the same numeral."""
    assert str(_numeral(written)) == printed


@pytest.mark.parametrize(
    ("numeral", "key", "chord"),
    [
        ("V7/ii", "C", "A7"),
        ("V7/ii", "Eb", "C7"),
        ("V7/V", "F", "G7"),
        ("viio7/V", "C", "F#dim7"),
        ("V7/bVII", "C", "F7"),
        ("V7/iv", "Am", "A7"),
        ("iiø7/ii", "C", "Em7b5"),
        ("V7/V/#4", "C", "D7/F#"),
        ("V7/V/V", "C", "A7"),
        ("bII/4", "Am", "Bb/D"),
        ("bVI7(no5)", "Am", "F7(no5)"),
        ("V/7", "G", "D/F#"),
        ("ii7/5", "C", "Dm7/G"),
    ],
)
def test_a_numeral_is_realised_in_a_key(numeral: str, key: str, chord: str) -> None:
    """Applied chords count from the chord they lead to, basses from the tonic."""
    assert str(realise(_numeral(numeral), _key(key))) == chord


def test_an_applied_chord_has_a_plain_name_too() -> None:
    """V7/ii is VI7 when counted from the tonic alone."""
    assert str(_numeral("V7/ii").plain) == "VI7"
    assert str(_numeral("V7/V/#4").plain) == "II7/#4"
    assert _numeral("IV7").plain == _numeral("IV7")


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("bVII7", "♭VII7"),
        ("viio7", "vii°7"),
        ("V7(b9,#11)/4", "V7(♭9,♯11)/4"),
        ("iiø7", "iiø7"),
        ("I(no5)", "I(no5)"),
    ],
)
def test_readers_see_printed_signs(text: str, printed: str) -> None:
    """♭ ♯ ° for readers."""
    assert pretty_numeral(_numeral(text)) == printed


@given(strategies.chords(), strategies.keys())
def test_numerals_and_chords_are_inverse(chord: Chord, key: Key) -> None:
    """A numeral reads back from its text, and means its chord in the key."""
    numeral = numeral_of(chord, key)
    assert parse_numeral(str(numeral)) == numeral
    back = realise(numeral, key)
    assert (back.root, back.tones, back.bass) == (chord.root, chord.tones, chord.bass)
    assert parse_chord(str(back)) == back or abs(back.root.alter) > 2


def test_every_suffix_of_the_grammar_has_a_numeral_that_reads_back() -> None:
    """All chords of the vocabulary, with and without a bass in turn, keep their meaning as text."""
    key = _key("Bb")
    numerals = [
        numeral_of(_chord(f"C{suffix}{('', '/E', '/G')[place % 3]}"), key)
        for place, suffix in enumerate(strategies.SUFFIXES)
    ]
    assert [parse_numeral(str(numeral)) for numeral in numerals] == numerals


EXPECTED = "expected a numeral I to VII or i to vii"
NAMES = "write degrees, not note names"
CASE = "'{}' is no numeral: only a chord with a minor third has a small numeral"
THIRD = "'{}' is no numeral: the case of a numeral gives its third, so that '{}' is not needed"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("IIm7", Fault(2, THIRD.format("IIm7", "m"), "write 'ii7'")),
        ("ii-7", Fault(2, THIRD.format("ii-7", "-"), "write 'ii7'")),
        ("VIIo7", Fault(3, "'VIIo7' is no numeral: a diminished chord has a small numeral", "write 'viio7'")),
        ("iii+", Fault(3, CASE.format("iii+"), "write 'III+'")),
        ("v7sus4", Fault(1, CASE.format("v7sus4"), "write 'V7sus4'")),
        ("i5", Fault(1, CASE.format("i5"), "write 'I5'")),
        ("Iq", Fault(1, "'Iq' is no numeral: cannot read 'q'")),
        ("iaj7", Fault(1, "'iaj7' is no numeral: cannot read 'aj7'")),
        (
            "Dm7",
            Fault(0, f"{EXPECTED}, found 'Dm7'", "write degrees, not note names"),
        ),
        ("IX", Fault(1, "'IX' is no numeral: cannot read 'X'")),
        ("", Fault(0, f"{EXPECTED}, found ''")),
        ("I/8", Fault(2, f"behind a slash: {EXPECTED}, found '8'")),
        ("I/5/5", Fault(2, f"behind a slash: {EXPECTED}, found '5'")),
        ("V7/ii/x/V/b2", Fault(6, f"behind a slash: {EXPECTED}, found 'x'")),
    ],
)
def test_what_is_no_numeral_is_refused(text: str, fault: Fault) -> None:
    """A fault has the place, what was found and the form to write."""
    assert parse_numeral(text) == fault


@pytest.mark.parametrize(
    ("text", "offset", "ours"),
    [
        ("I6/4", 1, "I/5"),
        ("I64", 1, "I/5"),
        ("IV6/3", 2, "IV/6"),
        ("viio6", 4, "viio/2"),
        ("vii°6", 4, "viio/2"),
        ("iio65", 3, "iio7/4"),
        ("V65", 1, "V7/7"),
        ("V6/5", 1, "V7/7"),
        ("V43", 1, "V7/2"),
        ("V42", 1, "V7/4"),
        ("V2", 1, "V7/4"),
        ("V65/V", 1, "V7/V/#4"),
        ("ii65", 2, "ii7/4"),
        ("iiø65", 3, "iiø7/4"),
        ("viio42", 4, "viio7/b6"),
        ("IV42", 2, "IVmaj7/3"),
        ("III+6/4", 4, "III+/#7"),
    ],
)
def test_figured_bass_is_refused_with_our_form(text: str, offset: int, ours: str) -> None:
    """Intervals over a bass become a chord over a degree."""
    assert parse_numeral(text) == Fault(offset, f"'{text}' is figured bass", f"write '{ours}'")
    assert isinstance(parse_numeral(ours), Numeral)


@pytest.mark.parametrize(
    ("text", "ours"),
    [
        ("N", "bII"),
        ("N6", "bII/4"),
        ("It6", "bVI7(no5)"),
        ("It+6", "bVI7(no5)"),
        ("Fr43", "bVI7(b5)"),
        ("Ger65", "bVI7"),
        ("Gr6", "bVI7"),
    ],
)
def test_named_chords_are_refused_with_our_form(text: str, ours: str) -> None:
    """The Neapolitan and the augmented sixths are written by degree and quality."""
    message = f"'{text}' is the name of a chord, where a numeral is expected"
    assert parse_numeral(text) == Fault(0, message, f"write '{ours}'")


def test_a_sixth_behind_a_numeral_is_added() -> None:
    """I6 is the tonic with an added sixth, not its first inversion."""
    assert _numeral("I6").tones == (Degree(1), Degree(3), Degree(5), Degree(6))
