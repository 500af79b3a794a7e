"""Scores: MusicXML in, passage and problems out."""

import io
import re
import subprocess
import sys
import zipfile
from dataclasses import replace

from hypothesis import given, settings

from tests.strategies import tunes
from transposary.engraving.musicxml import write_musicxml
from transposary.notes import attacks, notes
from transposary.passage import Clef, Hand, Passage
from transposary.problems import Place, Problem, Severity, SourceText
from transposary.reading.abc import read_abc
from transposary.reading.score import read_score

PLACE = Place("devices/x.md", 7, 8)
LINE = "M:4/4\nL:1/4\nK:C\nC D E F|G4|"


def _passage(text: str) -> Passage:
    passage, problems = read_abc(SourceText(text, Place("x")), None)
    assert problems == ()
    assert passage is not None
    return passage


def _xml(text: str = LINE) -> str:
    return write_musicxml(_passage(text))


def _read(xml: str, hand: Hand | None = None) -> tuple[Passage | None, tuple[Problem, ...]]:
    return read_score(xml.encode(), "take.musicxml", PLACE, hand)


def _zipped(**members: str) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in members.items():
            archive.writestr(name.replace("__", "/").replace("_", "."), text)
    return data.getvalue()


def _essence(passage: Passage) -> dict[str, object]:
    """What a writer of MusicXML may not change; it may part long notes into tied ones."""
    return {
        "keys": passage.keys,
        "bars": (*passage.bars[:-1], replace(passage.bars[-1], double=False)),
        "symbols": passage.symbols,
        "clefs": [(voice.name, voice.clefs) for voice in passage.voices],
        "notes": [(one.voice, one.onset, one.duration, one.pitch, one.grace) for one in attacks(passage)],
        "heads": [(one.head.finger, one.head.ghost) for one in attacks(passage)],
        "events": [
            (event.onset, event.graces, event.tuplet, event.staccato, event.accent, event.slurs_begun)
            for voice in passage.voices
            for event in voice.events
            if event.graces or event.tuplet or event.staccato or event.accent or event.slurs_begun
        ],
    }


@settings(max_examples=40)
@given(tunes())
def test_reads_what_our_writer_writes(passage: Passage) -> None:
    """A passage comes back from MusicXML with its notes, symbols, bars, keys, clefs and marks."""
    hand = passage.voices[0].hand if len(passage.hands) == 1 else None
    again, problems = read_score(write_musicxml(passage).encode(), "take.musicxml", PLACE, hand)
    assert problems == ()
    assert again is not None
    assert _essence(again) == _essence(passage)


def test_one_staff_goes_by_its_clef_or_its_hand() -> None:
    """A score on one staff is the left hand's in the bass clef, unless the author says whose it is."""
    bass = _xml("M:4/4\nL:1/4\nK:C clef=bass\nC,4|")
    for xml, hand, name in ((_xml(), None, "RH"), (bass, None, "LH"), (bass, Hand.RIGHT, "RH")):
        passage, problems = _read(xml, hand)
        assert problems == ()
        assert passage is not None
        assert [voice.name for voice in passage.voices] == [name]


def test_every_note_stands_where_the_score_is_named() -> None:
    """Places are those of the entry's `score:`, since a score has no lines of its own to show."""
    passage, _ = _read(_xml())
    assert passage is not None
    assert {note.head.place for note in notes(passage)} == {PLACE}


def test_reads_compressed_scores() -> None:
    """An .mxl archive is read through its container, or by its only score."""
    container = '<container><rootfiles><rootfile full-path="take.xml"/></rootfiles></container>'
    for data in (
        _zipped(**{"META-INF__container_xml": container, "take_xml": _xml(), "other_xml": "<no/>"}),
        _zipped(take_musicxml=_xml()),
    ):
        passage, problems = read_score(data, "take.mxl", PLACE, None)
        assert problems == ()
        assert passage is not None


def test_reads_the_encodings_that_programs_write() -> None:
    """UTF-8 with and without a mark, UTF-16 and Latin-1 are read."""
    xml = _xml().replace('encoding="UTF-8"', 'encoding="{}"')
    for name, codec in (("UTF-8", "utf-8-sig"), ("UTF-16", "utf-16"), ("ISO-8859-1", "latin-1")):
        passage, problems = read_score(xml.format(name).encode(codec), "take.xml", PLACE, None)
        assert problems == ()
        assert passage is not None


def test_a_key_without_a_mode_is_major_with_a_remark() -> None:
    """Some programs leave the mode out; the author is told how the key was read."""
    passage, problems = _read(_xml().replace("<mode>major</mode>", ""))
    assert passage is not None
    assert str(passage.key) == "C major"
    assert [problem.severity for problem in problems] == [Severity.REMARK]
    assert str(problems[0]) == (
        "devices/x.md:7:8: remark: reading.mode: take.musicxml, bar 1: the key says no mode and is read as "
        "C major; give the key its mode in the score, or write <mode>minor</mode> behind <fifths>"
    )


def test_tuplets_without_brackets_are_found_by_their_time() -> None:
    """Where a score marks no ends of tuplets, a tuplet ends when its time is full."""
    text = "M:2/4\nL:1/8\nK:C\n(3CDE (3:2:2F2G|(3CDE (3FGA|"
    marked, bare = _xml(text), re.sub(r"<tuplet [^>]*/>", "", _xml(text))
    assert bare != marked
    assert _read(bare) == _read(marked)


def test_slashes_and_fingerings_are_those_of_the_score() -> None:
    """Grace notes are slashed where the score says so, and a finger stays with its note of the chord."""
    passage, problems = _read(_xml("M:4/4\nL:1/4\nK:C\n{c}{/d}[CE!4!G]4|"))
    assert problems == ()
    assert passage is not None
    (event,) = passage.voices[0].events
    assert [grace.slashed for grace in event.graces] == [False, True]
    assert [(str(head.pitch), head.finger) for head in event.heads] == [("C4", None), ("E4", None), ("G4", 4)]


def test_a_note_without_a_staff_is_on_the_first() -> None:
    """On two staves a note that names none belongs to the first, as the standard has it, and to no other."""
    xml = _xml("M:4/4\nL:1/4\nK:C\nV:RH\nc4|\nV:LH\nC,4|")
    passage, problems = _read(xml.replace("<staff>1</staff>", ""))
    assert problems == ()
    assert passage is not None
    assert [(note.voice, str(note.pitch)) for note in notes(passage)] == [("RH", "C5"), ("LH", "C3")]


def test_a_voice_that_pauses_has_hidden_rests() -> None:
    """Where a score leaves a second voice out, our voice rests without a sign."""
    text = "M:4/4\nL:1/4\nK:C\nV:RH\nc4|d4|\nV:RH2\nC4|D4|"
    xml = _xml(text)
    second = xml.index('<measure number="2"')
    cut = xml.index("<backup>", second)
    passage, problems = _read(xml[:cut] + xml[xml.index("</measure>", cut) :])
    assert problems == ()
    assert passage is not None
    silent = passage.voices[1].events[1]
    assert (silent.heads, silent.hidden, silent.duration) == ((), True, 4)


def test_clefs_that_change_are_kept() -> None:
    """A clef within the score stands at its note."""
    passage, _ = _read(_xml("M:4/4\nL:1/4\nK:C\nc2[K: clef=bass]C,2|"))
    assert passage is not None
    assert passage.voices[0].clefs == ((0, Clef.TREBLE), (2, Clef.BASS))


def test_music21_is_imported_for_scores_alone() -> None:
    """Whoever reads entries without scores does not wait for music21."""
    code = "import sys, transposary.reading.score; print('music21' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
