"""The MusicXML writer, by what stands in the file."""

from dataclasses import replace
from xml.etree.ElementTree import Element, fromstring

import pytest

from tests.engraving.samples import HELD_UNDER_MOVING, SAMPLES, STEPPING_OUT
from tests.theory.abc import passage
from transposary.engraving.musicxml import break_systems, write_for_engraver, write_musicxml
from transposary.notes import notes
from transposary.passage import Passage
from transposary.pitch import Pitch


def _score(given: Passage, *, tempo: int | None = None, labels: tuple[str, ...] | None = None) -> Element:
    return fromstring(write_musicxml(given, tempo=tempo, labels=labels))


def _notes(score: Element) -> list[Element]:
    return list(score.iter("note"))


def _text(element: Element, path: str) -> str:
    return element.findtext(path, "")


def _of(abc: str) -> Element:
    return _score(passage(abc))


def test_one_hand_stands_on_one_staff_with_its_clef_key_and_meter() -> None:
    """The first bar opens with everything that a reader has to know."""
    attributes = next(_score(STEPPING_OUT).iter("attributes"))
    assert [child.tag for child in attributes] == ["divisions", "key", "time", "clef"]
    assert (_text(attributes, "key/fifths"), _text(attributes, "key/mode")) == ("1", "major")
    assert (_text(attributes, "time/beats"), _text(attributes, "time/beat-type")) == ("4", "4")
    assert (_text(attributes, "clef/sign"), _text(attributes, "clef/line")) == ("F", "4")


def test_two_hands_stand_on_two_staves_of_one_part() -> None:
    """Voices 1 and 2 are the right hand's, 5 and 6 the left hand's; every voice goes back to the barline."""
    score = _score(SAMPLES["two voices each"])
    places = {(_text(note, "voice"), _text(note, "staff")) for note in _notes(score)}
    assert places == {("1", "1"), ("2", "1"), ("5", "2"), ("6", "2")}
    assert _text(score, ".//staves") == "2"
    assert len(score.findall("part")) == 1
    assert len(score.findall(".//backup")) == 3 * len(score.findall(".//measure"))


def test_stems_part_only_where_both_voices_sound() -> None:
    """In the bar where the second voice rests the first is free, and the rest is hidden."""
    first, second = _score(HELD_UNDER_MOVING).findall(".//measure")
    assert {
        (_text(n, "voice"), _text(n, "stem")) for n in first.iter("note") if n.find("pitch") is not None
    } == {
        ("1", "up"),
        ("2", "down"),
        ("5", ""),
    }
    rests = [note for note in second.iter("note") if note.find("rest") is not None]
    assert [(_text(note, "voice"), note.get("print-object")) for note in rests] == [("2", "no")]
    assert second.find(".//stem") is None


def test_a_pickup_is_bar_nought_and_a_divided_bar_keeps_its_number() -> None:
    """Bars that nobody counts are implicit, so that numbers come out as musicians count."""
    measures = _score(SAMPLES["divided bar"]).findall(".//measure")
    assert [(m.get("number"), m.get("implicit")) for m in measures] == [
        ("0", "yes"),
        ("1", None),
        ("2", None),
        ("X2", "yes"),
        ("3", None),
        ("4", None),
    ]


def test_repeats_endings_and_barlines() -> None:
    """Each sign stands on its side of its bar; the last bar closes."""
    measures = _score(SAMPLES["endings"]).findall(".//measure")
    signs = [
        [
            (b.get("location"), *((c.tag, c.text, *sorted(c.attrib.values())) for c in b))
            for b in m.findall("barline")
        ]
        for m in measures
    ]
    assert signs == [
        [("left", ("bar-style", "heavy-light"), ("repeat", None, "forward"))],
        [],
        [
            ("left", ("ending", None, "1", "start")),
            (
                "right",
                ("bar-style", "light-heavy"),
                ("ending", None, "1", "stop"),
                ("repeat", None, "backward"),
            ),
        ],
        [
            ("left", ("ending", None, "2", "start")),
            ("right", ("bar-style", "light-light"), ("ending", None, "2", "stop")),
        ],
        [],
        [("right", ("bar-style", "light-heavy"))],
    ]


def test_an_ending_that_nothing_closes_stays_open() -> None:
    """The bracket of a second ending at the very end has no jog where the passage leaves it open."""
    given = passage("M:4/4\nL:1/4\nK:C\n|: C4 |1 D4 :|2 E4\n")
    score = _score(replace(given, bars=(*given.bars[:-1], replace(given.bars[-1], ending_closed=False))))
    assert [(e.get("number"), e.get("type")) for e in score.iter("ending")][-1] == ("2", "discontinue")


def test_a_duration_that_hides_the_beat_becomes_tied_notes() -> None:
    """A quarter over the middle of the bar is two tied eighths with one accidental and one label."""
    given = passage("M:4/4\nL:1/8\nK:C\nC3^F2C3 |]\n")
    found = _notes(_score(given, labels=("1", "#4", "1")))[1:3]
    assert [_text(note, "type") for note in found] == ["eighth", "eighth"]
    assert [[tie.get("type") for tie in note.findall("tie")] for note in found] == [["start"], ["stop"]]
    assert [_text(note, "accidental") for note in found] == ["sharp", ""]
    assert [_text(note, "lyric/text") for note in found] == ["#4", ""]


def test_ids_of_notes_follow_their_index_through_divided_notes_and_graces() -> None:
    """For the engraver every notehead carries its index, and its part where it is divided."""
    given = passage("M:4/4\nL:1/8\nK:C\nC3[DF]2{E}C3 |]\n")
    found = [note.get("id") for note in fromstring(write_for_engraver(given, ())).iter("note")]
    assert found == ["n0", "n1", "n2", "n1-2", "n2-2", "n3", "n4"]
    assert [note.get("id") for note in _notes(_score(given))] == [None] * 7


def test_tuplets_carry_their_ratio_and_a_bracket_unless_a_beam_shows_them() -> None:
    """A beamed triplet needs no bracket; one with quarters, or with a rest at its edge, does."""
    score = _of("M:4/4\nL:1/8\nK:C\n(3CDE (3C2D2E2 (3zDE |]\n")
    starts = [t for t in score.iter("tuplet") if t.get("type") == "start"]
    assert [t.get("bracket") for t in starts] == ["no", "yes", "yes"]
    assert {_text(n, "time-modification/actual-notes") for n in _notes(score)} == {"3"}
    durations = [int(_text(note, "duration")) for note in _notes(score)]
    assert sum(durations) == 4 * int(_text(score, ".//divisions"))


def test_marks_stand_on_the_note_that_wears_them() -> None:
    """Fingering, accent, staccato, ghost notes and slurs come out as the standard's elements."""
    score = _score(SAMPLES["marks"])
    first, ghost, grace, accented, dotted = _notes(score)[:5]
    assert _text(first, "notations/technical/fingering") == "3"
    assert [(s.get("type"), s.get("number")) for s in first.iter("slur")] == [("start", "1")]
    assert [n.get("parentheses") for n in ghost.iter("notehead")] == ["yes"]
    assert [g.get("slash") for g in grace.iter("grace")] == ["yes"]
    assert accented.find("notations/articulations/accent") is not None
    assert dotted.find("notations/articulations/staccato") is not None
    assert [(s.get("type"), s.get("number")) for s in dotted.iter("slur")] == [("stop", "1")]


def test_slurs_that_meet_on_a_note_keep_their_own_numbers() -> None:
    """One slur ends and the next begins on the same note; nested slurs have different numbers."""

    def marks(music: str) -> list[list[tuple[str | None, str | None]]]:
        score = _of(f"M:4/4\nL:1/4\nK:C\n{music} |]\n")
        return [[(s.get("type"), s.get("number")) for s in note.iter("slur")] for note in _notes(score)]

    assert marks("(C(D)E)F") == [
        [("start", "1")],
        [("stop", "1"), ("start", "1")],
        [("stop", "1")],
        [],
    ]
    assert marks("(C(DE)F)") == [[("start", "1")], [("start", "2")], [("stop", "2")], [("stop", "1")]]


def test_graces_of_several_notes_are_beamed_and_have_no_duration() -> None:
    """Three grace notes are one group before their note."""
    graces = [note for note in _notes(_score(SAMPLES["marks"])) if note.find("grace") is not None][1:]
    assert [_text(note, "beam") for note in graces] == ["begin", "continue", "end"]
    assert [note.find("duration") for note in graces] == [None, None, None]


def test_labels_of_a_chord_stand_below_each_other_as_its_notes_do() -> None:
    """The top note's label is the first line; the second voice begins below the first voice's lines."""
    given = passage("M:4/4\nL:1/4\nK:C\nV:RH\n[EGc]4 |]\nV:RH2\nC4 |]\n")
    score = _score(given, labels=("3", "5", "1", "1"))
    found = [(_text(n, "pitch/step"), n.find("lyric")) for n in _notes(score)]
    assert [(step, lyric.get("number")) for step, lyric in found if lyric is not None] == [
        ("E", "3"),
        ("G", "2"),
        ("C", "1"),
        ("C", "4"),
    ]


def test_a_rest_that_fills_its_bar_is_a_measure_rest() -> None:
    """A short bar's rest has its own value instead."""
    score = _of("M:4/4\nL:1/4\nK:C\nV:RH\nC | C4 | C3 |]\nV:LH clef=bass\nz | z4 | z3 |]\n")
    rests = [note for note in _notes(score) if note.find("rest") is not None]
    assert [(r.find("rest[@measure='yes']") is not None, _text(r, "type")) for r in rests] == [
        (False, "quarter"),
        (True, ""),
        (False, "half"),
        (False, "quarter"),
    ]


def test_chord_symbols_stand_at_their_moment_even_between_notes() -> None:
    """A symbol during a note or rest is written before it, with the offset."""
    score = _score(SAMPLES["close chords"])
    divisions = int(_text(score, ".//divisions"))
    offsets = [int(_text(harmony, "offset") or 0) / divisions for harmony in score.iter("harmony")]
    assert offsets == [0, 0, 0, 0, 0, 0, 0]
    held = _of('M:4/4\nL:1/4\nK:C\nV:RH\n"C" C4 |]\nV:LH clef=bass\nC,2 "F" C,2 |]\n')
    assert [_text(harmony, "offset") for harmony in held.iter("harmony")] == ["", "2"]


def test_meter_key_and_clef_change_where_they_are_written() -> None:
    """Only what changes is written again; a clef may change within a bar."""
    first, second, third = _score(SAMPLES["changes"]).findall(".//measure")
    assert [[c.tag for c in a] for a in first.findall("attributes")][1:] == [["clef"]]
    assert [[c.tag for c in a] for a in second.findall("attributes")] == [["key"]]
    assert [[c.tag for c in a] for a in third.findall("attributes")] == [["key", "time", "clef"]]


@pytest.mark.parametrize(("meter", "symbol"), [("C", "common"), ("C|", "cut"), ("4/4", None)])
def test_meters_keep_their_sign(meter: str, symbol: str | None) -> None:
    """Common and cut time print as the author wrote them."""
    time = _of(f"M:{meter}\nL:1/4\nK:C\nC4 |]\n").find(".//time")
    assert time is not None
    assert time.get("symbol") == symbol


@pytest.mark.parametrize(
    ("meter", "bar", "unit", "dots", "quarters"),
    [
        ("4/4", "C8", "quarter", 0, "92"),
        ("12/8", "C12", "quarter", 1, "138"),
        ("2/2", "C8", "half", 0, "184"),
    ],
)
def test_a_tempo_counts_the_beat(meter: str, bar: str, unit: str, dots: int, quarters: str) -> None:
    """The metronome mark shows the beat; the sound counts quarters, as the standard wants."""
    score = _score(passage(f"M:{meter}\nL:1/8\nK:C\n{bar} |]\n"), tempo=92)
    assert _text(score, ".//beat-unit") == unit
    assert len(score.findall(".//beat-unit-dot")) == dots
    assert _text(score, ".//per-minute") == "92"
    assert [sound.get("tempo") for sound in score.iter("sound")] == [quarters]


def test_whatever_an_author_writes_is_escaped() -> None:
    """Titles and labels cannot break the file."""
    written = write_musicxml(STEPPING_OUT, title="R & <B>", labels=("<1>", "&", "", '"'))
    score = fromstring(written)
    assert _text(score, "movement-title") == "R & <B>"
    assert [text.text for text in score.iter("text")] == ["<1>", "&", '"']


def test_systems_break_by_counted_bars() -> None:
    """A pickup belongs to the first system, and a divided bar stays whole."""
    score = fromstring(break_systems(write_for_engraver(SAMPLES["divided bar"], ()), 2))
    broken = [m.get("number") for m in score.iter("measure") if m.find("print") is not None]
    assert broken == ["3"]


def test_every_note_is_written_once() -> None:
    """In all samples the first parts of written notes are the notes of the passage, in any voice."""
    for given in SAMPLES.values():
        ids = [note.get("id", "") for note in fromstring(write_for_engraver(given, ())).iter("note")]
        indexes = sorted(int(one[1:]) for one in ids if one and "-" not in one)
        assert indexes == list(range(len(notes(given))))


def test_alterations_beyond_three_semitones_are_refused() -> None:
    """There is no accidental for four flats, and the error says so."""
    voice = STEPPING_OUT.voices[0]
    head = replace(voice.events[0].heads[0], pitch=Pitch(14, -4))
    event = replace(voice.events[0], heads=(head,))
    given = replace(STEPPING_OUT, voices=(replace(voice, events=(event, *voice.events[1:])),))
    with pytest.raises(ValueError, match="there is no accidental for 4 semitones"):
        write_musicxml(given)
