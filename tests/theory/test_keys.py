"""The twelve keys of a device."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from tests import strategies
from tests.theory.build import build
from transposary.notes import notes
from transposary.passage import Hand, Key, Mode, Passage
from transposary.pitch import NoteName, Pitch
from transposary.problems import Fault
from transposary.settings import Settings
from transposary.theory.keys import (
    SLOTS,
    Placement,
    check_tonics,
    key_at,
    list_keys,
    parse_key,
    placements,
    pretty_key,
    slot_of,
    tonic_of,
)
from transposary.theory.registers import PIANO
from transposary.theory.transposition import place

PLAIN = Settings()


def _placed(passage: Passage, settings: Settings = PLAIN, compass: str = "") -> dict[str, Placement]:
    low, _, high = compass.partition("-")
    limits = (Pitch.parse(low), Pitch.parse(high)) if compass else None
    return {one.slot: one for one in placements(passage, limits, settings)}


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("D", "D major"),
        ("Bm", "B minor"),
        ("B minor", "B minor"),
        ("F♯ minor", "F# minor"),
        ("E♭ Maj", "Eb major"),
        ("CM", "C major"),
        ("D dorian", "D dorian"),
        ("Emix", "E mixolydian"),
        ("A aeolian", "A minor"),
        ("A Ionian", "A major"),
    ],
)
def test_keys_are_read_as_musicians_write_them(text: str, key: str) -> None:
    """Modes may be shortened, left out or written as one letter."""
    assert str(parse_key(text)) == key


EXPECTED = "expected a key such as 'D', 'B minor' or 'D dorian'"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("D doric", Fault(2, "expected a mode, found 'doric'", "did you mean 'D dorian'?")),
        (
            "D x",
            Fault(
                2,
                "expected a mode, found 'x'",
                "the modes are major, minor, dorian, phrygian, lydian, mixolydian, locrian",
            ),
        ),
        ("G# major", Fault(0, "G# major would need 8 sharps in its signature", "write 'Ab major'")),
        ("Fb", Fault(0, "Fb major would need 8 flats in its signature", "write 'E major'")),
        ("bb", Fault(0, f"{EXPECTED}, found 'bb'", "write the tonic as a capital: 'Bb'")),
        ("Hm", Fault(0, f"{EXPECTED}, found 'Hm'", "the note H is called B here: write 'Bm'")),
        ("", Fault(0, f"{EXPECTED}, found nothing")),
        ("4", Fault(0, f"{EXPECTED}, found '4'")),
    ],
)
def test_what_is_no_key_is_refused(text: str, fault: Fault) -> None:
    """A fault names what was found and what to write."""
    assert parse_key(text) == fault


@given(strategies.keys())
def test_a_printed_key_reads_back(key: Key) -> None:
    """What we print is a key, in ASCII and with printed accidentals."""
    assert parse_key(str(key)) == key
    assert parse_key(pretty_key(key)) == key


@pytest.mark.parametrize(("name", "slot"), [("C", "C"), ("B#", "C"), ("C#", "Db"), ("F#", "Gb"), ("Cb", "B")])
def test_a_slot_is_a_pitch_class(name: str, slot: str) -> None:
    """Enharmonic tonics share a slot."""
    assert slot_of(NoteName.parse(name)) == slot


@pytest.mark.parametrize(
    ("slot", "mode", "tonic"),
    [
        ("Db", "major", "Db"),
        ("Db", "minor", "C#"),
        ("Db", "phrygian", "C#"),
        ("Eb", "minor", "Eb"),
        ("F", "locrian", "F"),
        ("Gb", "major", "Gb"),
        ("Gb", "minor", "F#"),
        ("Gb", "mixolydian", "F#"),
        ("Ab", "dorian", "Ab"),
        ("Ab", "minor", "G#"),
        ("B", "lydian", "B"),
    ],
)
def test_tonics_take_the_simpler_signature(slot: str, mode: str, tonic: str) -> None:
    """Fewer accidentals win; a tie goes to a natural letter, then to flats."""
    assert str(tonic_of(slot, Mode(mode), {})) == tonic


@pytest.mark.parametrize("mode", Mode)
def test_no_tonic_needs_more_than_six_accidentals(mode: Mode) -> None:
    """Each slot has a tonic of its own pitch class with a readable signature."""
    for slot in SLOTS:
        tonic = tonic_of(slot, mode, {})
        assert slot_of(tonic) == slot
        assert abs(Key(tonic, mode).signature) <= 6


def test_a_setting_overrides_one_tonic() -> None:
    """An override holds for its slot and mode alone."""
    tonics = {"Gb major": "F#"}
    assert [str(tonic_of("Gb", mode, tonics)) for mode in (Mode.MAJOR, Mode.LYDIAN)] == ["F#", "Gb"]


def test_overrides_are_checked() -> None:
    """An override needs a slot, a mode and a tonic of that slot with a signature."""
    tonics = {"Gb major": "F#", "F# major": "Gb", "D": "D", "C minor": "D", "Db major": "H", "Ab major": "G#"}
    slots = "the slots are C Db D Eb E F Gb G Ab A Bb B"
    assert check_tonics(tonics) == (
        Fault(1, "expected a slot and a mode such as 'Gb major', found 'F# major'", slots),
        Fault(2, "expected a slot and a mode such as 'Gb major', found 'D'", slots),
        Fault(3, "C minor: 'D' is another key on the keyboard"),
        Fault(4, f"Db major: {EXPECTED}, found 'H major'", "the note H is called B here: write 'B major'"),
        Fault(5, "Ab major: G# major would need 8 sharps in its signature", "write 'Ab major'"),
    )


def test_the_home_key_stays_as_written() -> None:
    """Even where its slot would be spelled otherwise, and where it leaves the range."""
    passage = build("A#4 C##1", key="D# minor")
    home = _placed(passage, compass="C4-C5")["Eb"]
    assert (str(home.key), str(home.interval), home.moved) == ("D# minor", "P1", False)
    assert place(passage, home) == passage


@given(strategies.passages())
def test_every_key_lies_within_a_tritone(passage: Passage) -> None:
    """Twelve slots, each spelled for the mode, each at most a tritone from home."""
    found = placements(passage, None, PLAIN)
    assert tuple(one.slot for one in found) == SLOTS
    for one in found:
        assert slot_of(one.key.tonic) == one.slot
        assert one.key.mode is passage.key.mode
        assert passage.key.tonic.up(one.interval) == one.key.tonic
        assert abs(one.interval.semitones) <= 6
        assert place(passage, one).key == one.key


@given(strategies.passages())
def test_the_piano_is_never_left_from_the_middle(passage: Passage) -> None:
    """Notes that lie well inside the piano stay on it in every key, hands moving together."""
    for one in placements(passage, None, PLAIN):
        assert len({count for _, count in one.octaves}) <= 1
        for note in notes(place(passage, one)):
            assert PIANO[0].midi <= note.pitch.midi <= PIANO[1].midi


def test_hands_move_up_an_octave_where_the_piano_ends() -> None:
    """From the lowest C downwards there are three semitones left."""
    placed = _placed(build("C5:4", LH="C1:4"))
    assert [slot for slot, one in placed.items() if one.moved] == ["G", "Ab"]
    assert placed["G"].octaves == ((Hand.RIGHT, 1), (Hand.LEFT, 1))
    assert (placed["G"].shift(Hand.LEFT), placed["Bb"].shift(Hand.LEFT)) == (7, -2)


def test_a_tritone_goes_where_no_octave_is_needed() -> None:
    """Up by rule, down where the top would be left otherwise."""
    assert str(_placed(build("C5"))["Gb"].interval) == "d5"
    placed = _placed(build("C5"), compass="C4-E5")
    assert (str(placed["Gb"].interval), placed["Gb"].moved) == ("-A4", False)


def test_the_declared_range_is_kept() -> None:
    """Keys that would leave it move by an octave; one that cannot stay inside does not move."""
    placed = _placed(build("C4 G4"), compass="A3-A4")
    moved = {slot: one.octaves[0][1] for slot, one in placed.items() if one.moved}
    assert moved == {}
    placed = _placed(build("C4 D4"), compass="C4-C5")
    assert {slot: one.octaves[0][1] for slot, one in placed.items() if one.moved} == dict.fromkeys(
        ("G", "Ab", "A", "Bb"), 1
    )


def test_a_close_interval_is_kept_above_its_limit() -> None:
    """A third that is clear at home moves up where it would turn to mud; one that is not stays."""
    clear = _placed(build(LH="[C3 E3]:4"))
    assert [slot for slot, one in clear.items() if one.moved] == ["G", "Ab", "A", "Bb"]
    muddy = _placed(build(LH="[A2 C#3]:4", key="A"))
    assert not any(one.moved for one in muddy.values())


def test_an_override_spells_the_key_and_its_notes() -> None:
    """With F♯ for G♭ the notes are spelled in F♯."""
    passage = build("C4 E4")
    placed = _placed(passage, Settings(tonics={"Gb major": "F#"}))["Gb"]
    assert [str(note.pitch) for note in notes(place(passage, placed))] == ["F#4", "A#4"]


def test_a_change_of_key_holds_from_its_onset() -> None:
    """The pickup has the key of the start."""
    passage = build("C4 | C4:4 D4:4")
    later = Key(NoteName.parse("D"))
    passage = replace(passage, keys=(*passage.keys, (Fraction(4), later)))
    assert [str(key_at(passage, Fraction(onset))) for onset in (-1, 0, 3, 4, 9)] == [
        *("C major", "C major", "C major", "D major", "D major")
    ]


def test_a_local_key_without_signature_is_respelled() -> None:
    """C to D♭ becomes, in G♭, G♭ to G: notes, chords and key together, but for a note tied in."""
    passage = build("C4:2 F4~:2 F4:1 {Eb4}Ab4:3", chords="0 C; 4 Db7/Ab", LH="r:4 Db3:4")
    passage = replace(passage, keys=(*passage.keys, (Fraction(4), Key(NoteName.parse("Db")))))
    placed = place(passage, _placed(passage)["Gb"])
    assert [str(key) for _, key in placed.keys] == ["Gb major", "G major"]
    assert [str(symbol) for symbol in placed.symbols] == ["Gb", "G7/D"]
    assert [str(note.pitch) for note in notes(placed)] == ["Gb4", "Cb5", "Cb5", "A4", "D5", "G3"]


def test_keys_are_listed_for_messages() -> None:
    """One, several, all."""
    found = placements(build("C4"), None, PLAIN)
    assert list_keys(found[1:2]) == "D♭"
    assert list_keys(found[:3]) == "C, D♭ and D"
    assert list_keys(found) == "every key"
