"""Chord symbols, as players write them."""

import pytest

from transposary.passage import Chord
from transposary.problems import Fault
from transposary.theory.chords import is_no_chord, parse_chord, pretty_chord, reading_note


def _tones(text: str) -> str:
    chord = parse_chord(text)
    assert isinstance(chord, Chord), chord
    return " ".join(str(tone) for tone in chord.tones)


@pytest.mark.parametrize(
    ("spellings", "tones"),
    [
        ("C Cmaj CM Cma CMaj", "1 3 5"),
        ("Cm Cmin C- Cmi CMI", "1 b3 5"),
        ("Cm7 Cmin7 C-7 CMI7 C−7", "1 b3 5 b7"),
        ("Cmaj7 CM7 CMA7 C^7 CΔ7 C△7 CΔ C^ C7M", "1 3 5 7"),
        ("Cdim Co C° Cº", "1 b3 b5"),
        ("Cdim7 Co7 C°7", "1 b3 b5 bb7"),
        ("Cm7b5 Cø7 Cø CØ7 Cm7(b5) C-7-5 Cm7♭5", "1 b3 b5 b7"),
        ("Caug C+", "1 3 #5"),
        ("C7#5 C+7 Caug7 C7+5 C7(#5)", "1 3 #5 b7"),
        ("CmMaj7 Cm(maj7) CmM7 C-Δ7 C-^ Cm/maj7", "1 b3 5 7"),
        ("C7b9 C7-9 C7(b9) C7♭9", "1 3 5 b7 b9"),
        ("C7#9 C7+9 C7(♯9)", "1 3 5 b7 #9"),
        ("C69 C6/9 C6(9) C6add9", "1 3 5 6 9"),
        ("Csus Csus4 C(sus4)", "1 4 5"),
        ("C7sus4 C7sus Csus7", "1 4 5 b7"),
        ("C9sus4 C9sus Csus9 C11sus4", "1 4 5 b7 9"),
        ("C7sus2 C9sus2", "1 2 5 b7"),
        ("C7sus4b9 C7b9sus4 C7sus4(b9) C7sus(b9)", "1 4 5 b7 b9"),
        ("C7#5#9 C7(#9,#5) C7(#9#5)", "1 3 #5 b7 #9"),
        ("C7(b9,b13) C7b9b13 C7(b13)(b9)", "1 3 5 b7 b9 b13"),
        ("Cadd9 C(add9)", "1 3 5 9"),
        ("Cno3 Comit3 C(no3) C5", "1 5"),
    ],
)
def test_spellings_of_one_chord_read_alike(spellings: str, tones: str) -> None:
    """However a chord is written, its tones are the same."""
    assert {text: _tones(text) for text in spellings.split()} == dict.fromkeys(spellings.split(), tones)


@pytest.mark.parametrize("text", ["F#m7b5/E", "Bb6/9", "Cø7", "C^7", "Eb7(♯9)", "Gbb7/Fb"])
def test_a_chord_prints_as_the_author_wrote_it(text: str) -> None:
    """The suffix stays as written; root and bass print in ASCII."""
    assert str(parse_chord(text)) == text


def test_readers_see_printed_accidentals() -> None:
    """For readers, b and # become ♭ and ♯ everywhere in the symbol."""
    chord = parse_chord("F#m7b5/Eb")
    assert isinstance(chord, Chord)
    assert pretty_chord(chord) == "F♯m7♭5/E♭"


def test_a_bass_on_the_root_is_no_bass() -> None:
    """C/C is C."""
    chord = parse_chord("C/C")
    assert isinstance(chord, Chord)
    assert chord.bass is None


@pytest.mark.parametrize("text", ["N.C.", "NC", "n.c.", " N.C. "])
def test_no_chord_is_recognised(text: str) -> None:
    """The ways of writing that no chord is played."""
    assert is_no_chord(text)


def test_a_disputed_symbol_says_how_it_is_read() -> None:
    """A symbol with two meanings in the trade has a note, a plain one has none."""
    alt, plain = parse_chord("C7alt"), parse_chord("Cm7b5")
    assert isinstance(alt, Chord)
    assert isinstance(plain, Chord)
    assert "no natural fifth" in (reading_note(alt) or "")
    assert reading_note(plain) is None


ROOT = "expected a chord symbol, which begins with a root A to G"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "Cmajj7",
            Fault(4, "'Cmajj7' is no chord symbol: cannot read 'j7'", "did you mean 'Cmaj7' or 'Cmaj'?"),
        ),
        ("Am/c", Fault(3, "expected a bass note A to G behind the slash, found 'c'", "write 'Am/C'")),
        ("D/f+", Fault(2, "expected a bass note A to G behind the slash, found 'f+'", "write 'D/F#'")),
        ("Coda", Fault(0, "expected a chord symbol, found the words 'Coda'")),
        ("D.C.", Fault(0, "expected a chord symbol, found the words 'D.C.'")),
        ("A MINOR", Fault(0, "expected a chord symbol, found the words 'A MINOR'")),
        ("Fine", Fault(0, "expected a chord symbol, found the words 'Fine'")),
        ("D.S. al Coda", Fault(0, "expected a chord symbol, found the words 'D.S. al Coda'")),
        ("", Fault(0, f"{ROOT}, found nothing")),
        ("4", Fault(0, f"{ROOT}, found '4'")),
        ("am7", Fault(0, f"{ROOT}, found 'am7'", "write the root as a capital: 'Am7'")),
        ("H7", Fault(0, f"{ROOT}, found 'H7'", "the note H is called B here: write 'B7'")),
        ("CSUS4", Fault(1, "'CSUS4' is no chord symbol: cannot read 'SUS4'", "did you mean 'Csus4'?")),
        ("C7/H", Fault(3, "expected a bass note A to G behind the slash, found 'H'")),
        ("C7/Bb7", Fault(3, "expected a bass note A to G behind the slash, found 'Bb7'")),
    ],
)
def test_what_is_no_chord_is_refused(text: str, fault: Fault) -> None:
    """A fault says where, what was found and how to mend it."""
    assert parse_chord(text) == fault
