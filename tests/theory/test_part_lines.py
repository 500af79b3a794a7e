"""What a single-line instrument reads of a device."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from tests.strategies import tunes
from tests.theory.build import build
from transposary.glossary import Device, Role
from transposary.notes import notes
from transposary.passage import Clef, Passage
from transposary.problems import Place
from transposary.theory.part_lines import RANGES, PartLine, part_lines

NOWHERE = Place("devices/x.md")
TWO_HANDS = build("[E4 G4 C5]:2 [F4 A4]:2", LH="C3:2 r F2", chords="0 C; 2 F")


def _device(passage: Passage, *roles: Role, line: str | None = None) -> Device:
    return Device("x", "X", "X.", roles, passage, NOWHERE, NOWHERE, line=line)


def _read(passage: Passage, clef: Clef, *roles: Role, line: str | None = None) -> list[tuple[str, str]]:
    found = part_lines(_device(passage, *roles, line=line), passage, clef)
    return [(one.name, _pitches(one)) for one in found]


def _pitches(line: PartLine) -> str:
    return " ".join(str(note.pitch) for note in notes(line.passage))


@pytest.mark.parametrize(
    ("clef", "role", "line", "wanted"),
    [
        (Clef.TREBLE, Role.MELODY, None, "C5 A4"),
        (Clef.BASS, Role.MELODY, None, "C3 F2"),
        (Clef.TREBLE, Role.BASS, None, "C5 F4"),
        (Clef.ALTO, Role.ENDING, None, "C4 A3"),
        (Clef.BASS, Role.ENDING, "top", "C3 A2"),
        (Clef.TREBLE, Role.MELODY, "bottom", "C5 F4"),
        (Clef.TREBLE, Role.COMPING, "LH", "C5 F4"),
    ],
)
def test_the_line_is_chosen_by_entry_role_and_clef(
    clef: Clef, role: Role, line: str | None, wanted: str
) -> None:
    """The author's word counts first, then the role, then whether it is a bass instrument."""
    assert _read(TWO_HANDS, clef, role, line=line) == [("line", wanted)]


def test_the_first_role_that_says_something_decides() -> None:
    """An ending that is a bass figure is read as a bass figure, a comping one as comping."""
    assert [name for name, _ in _read(TWO_HANDS, Clef.TREBLE, Role.ENDING, Role.BASS)] == ["line"]
    assert _read(TWO_HANDS, Clef.TREBLE, Role.ENDING, Role.COMPING)[0][0] == "slashes"


def test_comping_gives_slashes_and_a_chord_voice_a_horn() -> None:
    """Horns share out the chord from the top; where it has fewer notes the lowest is doubled."""
    assert _read(TWO_HANDS, Clef.TREBLE, Role.COMPING) == [
        ("slashes", "B4 B4"),
        ("section", "E4 G4 C5 F4 A4"),
        ("voice-1", "C5 A4"),
        ("voice-2", "G4 F4"),
        ("voice-3", "E5 F5"),
    ]


def test_bass_instruments_share_out_a_chord_from_the_bottom() -> None:
    """The first to read a chord in the bass clef has its lowest note."""
    assert _read(TWO_HANDS, Clef.BASS, Role.VOICING)[2] == ("voice-1", "E3 F3")


def test_without_symbols_there_are_no_slashes() -> None:
    """Slashes say nothing where no chord stands over them."""
    plain = replace(TWO_HANDS, symbols=())
    assert [name for name, _ in _read(plain, Clef.TREBLE, Role.COMPING)] == [
        "section",
        "voice-1",
        "voice-2",
        "voice-3",
    ]


def test_slashes_stand_on_the_middle_line_and_need_no_accidental() -> None:
    """In D flat the middle line of the treble clef is B flat; as slashes all are marked."""
    found = part_lines(
        _device(TWO_HANDS, Role.COMPING), build("[F4 Ab4]:4", key="Db", chords="0 Db"), Clef.TREBLE
    )
    (slash,) = notes(found[0].passage)
    assert (str(slash.pitch), slash.head.slash) == ("Bb4", True)


def test_a_line_is_moved_whole_by_octaves() -> None:
    """A bass line comes into the treble staff with its intervals kept."""
    (line,) = part_lines(_device(TWO_HANDS, Role.BASS), build(LH="G2 A2 B2 C3"), Clef.TREBLE)
    assert (_pitches(line), line.folded) == ("G4 A4 B4 C5", False)


def test_a_line_too_wide_for_the_instruments_is_folded() -> None:
    """Single notes are moved where no octave has room for all, and that is told."""
    (line,) = part_lines(_device(TWO_HANDS, Role.MELODY), build("C3 C4 C5 C6"), Clef.BASS)
    assert (_pitches(line), line.folded) == ("C3 C3 C4 C4", True)


def test_notes_know_which_notes_of_the_device_they_are() -> None:
    """Graces and chords are counted as in the engraving of the device."""
    device = build("{D4}[C4 E4] {F4 G4}G4", LH="C3:2")
    (top,) = part_lines(_device(device, Role.MELODY), device, Clef.TREBLE)
    (low,) = part_lines(_device(device, Role.MELODY), device, Clef.BASS)
    assert (top.sources, low.sources) == ((0, 2, 4, 5), (6,))


def test_a_tie_into_another_voice_of_the_chord_is_cut() -> None:
    """The top of a chord is not held where the next chord has another top."""
    (line,) = part_lines(_device(TWO_HANDS, Role.MELODY), build("[C4 E4~] [E4 G4]"), Clef.TREBLE)
    assert [note.head.tied for note in notes(line.passage)] == [False, False]


def test_the_lower_voice_of_the_hand_is_the_bottom_where_it_sounds() -> None:
    """Bar by bar a second voice of the left hand takes the line from the first, and gives it back."""
    device = build(LH="C3:4 D3:4", LH2="G2:4 r:4")
    (line,) = part_lines(_device(device, Role.BASS), device, Clef.BASS)
    assert _pitches(line) == "G2 D3"


@settings(max_examples=25)
@given(tune=tunes())
def test_every_line_is_in_range_and_of_the_device(tune: Passage) -> None:
    """Whatever the music, each note is one of the device's, octaves aside, and the instruments have it."""
    written = notes(tune)
    for role in (Role.MELODY, Role.BASS, Role.COMPING):
        for clef, (low, high) in RANGES.items():
            for line in part_lines(_device(tune, role), tune, clef):
                read = notes(line.passage)
                assert len(read) == len(line.sources)
                if line.name != "slashes":
                    assert all(low.midi <= one.pitch.midi <= high.midi for one in read)
                    assert [one.pitch.name for one in read] == [written[i].pitch.name for i in line.sources]
                assert [one.onset for one in read] == [written[i].onset for i in line.sources]
                assert sum(event.duration for event in line.passage.voices[0].events) == sum(
                    bar.duration for bar in tune.bars
                )
