"""What the ABC reader makes of music that it takes."""

from fractions import Fraction

import pytest

from transposary.notes import notes
from transposary.passage import Clef, Event, Hand, Key, Mode, Passage
from transposary.pitch import NoteName
from transposary.problems import Place, Severity, SourceText
from transposary.reading.abc import read_abc

HEAD = "M:4/4\nL:1/4\nK:C\n"


def _read(text: str, hand: Hand | None = None) -> Passage:
    passage, problems = read_abc(SourceText(text, Place("x")), hand)
    assert problems == ()
    assert passage is not None
    return passage


def _pitches(music: str) -> str:
    return " ".join(str(note.pitch) for note in notes(_read(HEAD + music)))


def _events(music: str) -> tuple[Event, ...]:
    return _read(HEAD + music).voices[0].events


def test_reads_a_device_in_one_hand() -> None:
    """A bass line becomes a left hand with the pitches of its key."""
    passage = _read('M: 4/4\nL: 1/8\nK: G clef=bass\n"G" G,,4 A,,2 B,,2 | "C" C,4 z2 F,2 |')
    assert [str(note.pitch) for note in notes(passage)] == ["G2", "A2", "B2", "C3", "F#3"]
    assert [note.onset for note in notes(passage)] == [0, 2, 3, 4, 7]
    assert [voice.name for voice in passage.voices] == ["LH"]
    assert [(str(symbol), symbol.onset, symbol.bar) for symbol in passage.symbols] == [
        ("G", 0, 1),
        ("C", 4, 2),
    ]


@pytest.mark.parametrize(
    ("music", "pitches"),
    [
        ("^F F G F|F4|", "F#4 F#4 G4 F#4 F4"),  # holds to the end of the bar
        ("^F =F F2|", "F#4 F4 F4"),  # until another takes its place
        ("^F2 =f2|", "F#4 F5"),  # another octave is another matter
        ("G2 ^F2-|F F G2|", "G4 F#4 F#4 F4 G4"),  # a tie carries it over the barline, and no further
        ("{^f}g f g2|", "F#5 G5 F#5 G5"),  # grace notes count
        ("[F^F]4|[^FA]2 F2|", "F4 F#4 F#4 A4 F#4"),
        ("_B__B^^c=B|", "Bb4 Bbb4 C##5 B4"),
    ],
)
def test_accidentals_hold_for_their_octave_until_the_bar_ends(music: str, pitches: str) -> None:
    """An accidental holds for its staff position until the bar ends, or over a tie."""
    assert _pitches(music) == pitches


def test_remarks_on_an_accidental_in_another_octave() -> None:
    """Where the standard and engravers differ, the note is read as engraved and the author is told once."""
    passage, problems = read_abc(SourceText(HEAD + "^F f f F|", Place("x")), None)
    assert passage is not None
    assert [str(note.pitch) for note in notes(passage)] == ["F#4", "F5", "F5", "F#4"]
    (problem,) = problems
    assert problem.severity is Severity.REMARK
    assert (problem.place.line, problem.place.column) == (4, 4)
    assert problem.text == "the accidental of the other F in this bar is not counted for this one"
    assert problem.hint == "write =f or ^f so that every reader takes it alike"


def test_head_places_are_those_of_the_file() -> None:
    """Every head of a chord knows its line and column in the author's file."""
    source = SourceText("M: 4/4\nL: 1/4\nK: C\n[CE]2 G2|", Place("devices/x.md", 10, 3), indent=2)
    passage, _ = read_abc(source, None)
    assert passage is not None
    assert [str(note.head.place) for note in notes(passage)] == [
        "devices/x.md:13:4",
        "devices/x.md:13:5",
        "devices/x.md:13:9",
    ]


@pytest.mark.parametrize(
    ("fields", "hand", "name"),
    [("K:C", None, "RH"), ("K:C clef=bass", None, "LH"), ("K:C bass", None, "LH"), ("K:C", Hand.LEFT, "LH")],
)
def test_one_staff_belongs_to_a_hand(fields: str, hand: Hand | None, name: str) -> None:
    """Without V: the voice goes by hand: or by its clef."""
    assert [voice.name for voice in _read(f"M:4/4\nL:1/4\n{fields}\nC4|", hand).voices] == [name]


def test_voices_come_in_order_with_their_clefs() -> None:
    """Voices come RH, RH2, LH in any order of writing; a second voice has the clef of its staff."""
    passage = _read("M:4/4\nL:1/4\nK:C\nV:LH\nC4|\nV:RH2\nE4|\nV:RH clef=alto\nG2[K:clef=treble]G2|")
    clefs = {voice.name: [clef for _, clef in voice.clefs] for voice in passage.voices}
    assert list(clefs.items()) == [
        ("RH", [Clef.ALTO, Clef.TREBLE]),
        ("RH2", [Clef.ALTO, Clef.TREBLE]),
        ("LH", [Clef.BASS]),
    ]


def test_voices_may_be_declared_and_taken_up_again() -> None:
    """A voice may stand in the header, and go on line by line or within a line."""
    text = "M:4/4\nL:1/4\nV:RH clef=treble\nV:LH clef=bass\nK:C\n[V:RH]C4|\n[V:LH]C,4|\n[V:RH]D4|\n[V:LH]D,4|"
    assert [str(note.pitch) for note in notes(_read(text))] == ["C4", "D4", "C3", "D3"]


def test_a_hand_that_contradicts_the_voices_is_an_error() -> None:
    """`hand: LH` and V:RH cannot both be meant."""
    _, problems = read_abc(SourceText("M:4/4\nL:1/4\nK:C\nV:RH\nC4|", Place("x")), Hand.LEFT)
    assert [str(problem) for problem in problems] == [
        "x:1:1: reading.abc: hand: LH contradicts V:RH; leave hand: out"
    ]


def test_a_pickup_is_bar_0() -> None:
    """A short first bar is bar 0 and lies before the first downbeat."""
    bars = _read(HEAD + "G|C4|D3|").bars
    assert [(bar.number, bar.onset, bar.duration) for bar in bars] == [(0, -1, 1), (1, 0, 4), (2, 4, 3)]


def test_a_bar_divided_by_a_sign_keeps_its_number() -> None:
    """Both parts of a bar that a repeat sign, a double barline or an ending divides have one number."""
    for sign in (":|", "||", ":||:"):
        end = ":|" if sign == ":||:" else ""
        bars = _read(HEAD + f"{'|:' if end else ''}C4|D3{sign}E|F4{end}|").bars
        assert [bar.number for bar in bars] == [1, 2, 2, 3]


def test_endings_and_repeats_are_kept() -> None:
    """Repeats and endings stand on their bars, and an ending closes where its bracket does."""
    bars = _read(HEAD + "|:C4|1D4:|2E4||F4|]").bars
    assert [bar.repeat_begun for bar in bars] == [True, False, False, False]
    assert [bar.repeat_ended for bar in bars] == [False, True, False, False]
    assert [(bar.ending, bar.ending_closed) for bar in bars] == [
        ("", False),
        ("1", True),
        ("2", True),
        ("", False),
    ]
    assert [bar.double for bar in bars] == [False, False, True, False]


def test_keys_and_meters_change_at_barlines() -> None:
    """Inline and whole-line fields change key and meter; the key's signature counts from there."""
    passage = _read("M:4/4\nL:1/4\nK:C\nV:RH\nF4|[K:D dorian][M:3/4]B3|\nK:Ebm\nB3|")
    assert passage.keys == (
        (0, Key(NoteName.parse("C"))),
        (4, Key(NoteName.parse("D"), Mode.DORIAN)),
        (7, Key(NoteName.parse("Eb"), Mode.MINOR)),
    )
    assert [str(note.pitch) for note in notes(passage)] == ["F4", "B4", "Bb4"]
    assert [str(bar.meter) for bar in passage.bars] == ["4/4", "3/4", "3/4"]


def test_marks_belong_to_their_notes() -> None:
    """Staccato, accents, ghost notes, slurs and hidden rests are kept."""
    first, second, third, rest, last = _events("(.C !accent!!>!D !ghost!E) x/ [F!ghost!A]/|")
    assert (first.staccato, first.slurs_begun, second.accent, third.slurs_ended) == (True, 1, True, 1)
    assert third.heads[0].ghost
    assert rest.hidden
    assert [head.ghost for head in last.heads] == [False, True]


def test_fingerings_before_a_chord_count_from_the_lowest() -> None:
    """Fingerings before a chord belong to its notes from the lowest; inside it each to its own note."""
    before, inside = _events("!1!!3!!5![GCE]2 [!5!G!1!C]2|")
    assert [(str(head.pitch), head.finger) for head in before.heads] == [("C4", 1), ("E4", 3), ("G4", 5)]
    assert [(str(head.pitch), head.finger) for head in inside.heads] == [("C4", 1), ("G4", 5)]


def test_graces_have_written_lengths() -> None:
    """A grace note is an eighth unless it has a number; a slash makes it an acciaccatura."""
    (event,) = _events("{/c}{d2[eg]/}C4|")
    assert [grace.slashed for grace in event.graces] == [True, False, False]
    assert [grace.quarters for grace in event.graces] == [Fraction(1, 2), 1, Fraction(1, 4)]
    assert [len(grace.heads) for grace in event.graces] == [1, 1, 2]


def test_single_members_of_a_chord_are_tied() -> None:
    """A tie inside a chord holds its note alone."""
    event, *_ = _events("[C-E]2[CF]2|")
    assert [(str(head.pitch), head.tied) for head in event.heads] == [("C4", True), ("E4", False)]


def test_tuplets_know_their_ends() -> None:
    """The first and the last event of a tuplet are marked, and its notes sound shorter."""
    events = _events("(3:2:2C2D z2|")
    assert [(event.tuplet.first, event.tuplet.last) for event in events if event.tuplet] == [
        (True, False),
        (False, True),
    ]
    assert [event.duration for event in events] == [Fraction(4, 3), Fraction(2, 3), 2]


def test_beams_join_short_notes_without_space() -> None:
    """Notes shorter than a quarter are beamed where nothing stands between them; rests part them."""
    events = _events("C/D/ E/ z/F/G/ C|D/D/>D/D/ D2|")
    assert [event.beamed for event in events[:6]] == [True, False, False, False, True, False]


@pytest.mark.parametrize(
    "text",
    [
        "X:1\nT:A title\nC:Nobody\nO:Here\nR:reel\nZ:me\nN:note\nS:s\nB:b\nD:d\nF:f\nG:g\nH:h\nA:a\nr:r\n",
        "% a comment\n\n",
    ],
)
def test_informative_fields_and_comments_are_read_past(text: str) -> None:
    """Fields that carry no notes change nothing."""
    assert _read(text + HEAD + "C4| % the end\n%\nN:note\nD4|") == _read(HEAD + "C4|\nD4|")


def test_a_backslash_continues_the_line() -> None:
    """A line that ends in a backslash goes on, beams and all."""
    assert _read(HEAD + "C/\\\nD/ C\\ % why\n C2|") == _read(HEAD + "C/D/ C C2|")


def test_a_music_line_may_begin_like_a_small_field() -> None:
    """Small note letters before a colon are music."""
    passage = _read("M:4/4\nL:1/1\nK:C\n|:C|\ne:|")
    assert [str(note.pitch) for note in notes(passage)] == ["C4", "E5"]


def test_whole_bar_rests_fill_odd_bars() -> None:
    """Z fills a bar of any meter, and a rest as long as the bar may have any length."""
    for music in ("Z|[M:9/8]Z|", "z4|[M:9/8]z9/2|"):
        assert [event.duration for event in _events(music)] == [4, Fraction(9, 2)]


def test_no_chord_is_a_symbol() -> None:
    """N.C. ends the chord before it."""
    assert [symbol.chord is None for symbol in _read(HEAD + '"C"C2"N.C."C2|').symbols] == [False, True]
