"""Remarks on what hands, ears and the instrument allow."""

import pytest

from tests.theory.build import build
from tests.theory.devices import device
from transposary.passage import Passage
from transposary.problems import Severity
from transposary.settings import Settings
from transposary.theory.playability import check_playability

CAUTION = "stop when it hurts; ask a teacher or a clinician about pain that stays"


def _remarks(
    passage: Passage, *, compass: str = "", tempo: int | None = None, hand_span: int = 14
) -> list[str]:
    found = check_playability(device(passage, compass=compass, tempo=tempo), Settings(hand_span=hand_span))
    assert all(remark.severity is Severity.REMARK for remark in found)
    return [f"{remark.rule}: {remark.text}; {remark.hint}" for remark in found]


def test_what_lies_well_gives_no_remark() -> None:
    """Two quiet hands in the middle of the piano."""
    assert _remarks(build("[E4 G4 C5]:2 D5:2", LH="[C3 G3]:4"), tempo=120) == []


def test_a_remark_stands_where_the_note_stands() -> None:
    """The place is that of the note, in the author's file."""
    remark = check_playability(device(build("C4 [C4 E5]")), Settings())[0]
    assert str(remark.place) == "devices/x.md:9:2"


def test_leaving_the_piano_is_told_once_with_the_keys() -> None:
    """What spans the piano fits in a few keys only, and no octave helps in the others."""
    assert _remarks(build("B7:4", LH="B0:4", key="B")) == [
        (
            "theory.range: D♭8 in bar 1 leaves the piano A0–C8 in D♭, D, E♭, E, F, G♭, G and A♭; "
            "write the device in a narrower register"
        )
    ]


RANGE_HINT = "widen the range or write the device in another register"


def test_leaving_the_declared_range_is_told_with_the_keys() -> None:
    """Keys in which no octave helps, the home key among them if the author left the range."""
    assert _remarks(build("C4 E4"), compass="C4-G4") == [
        "theory.range: G♯4 in bar 1 leaves the range C4–G4 in E, F, G♭, G, A♭, A, B♭ and B; " + RANGE_HINT
    ]
    assert _remarks(build("C4"), compass="D4-D6") == [
        "theory.range: C4 in bar 1 leaves the range D4–D6 in C; " + RANGE_HINT
    ]


def test_low_intervals_are_told_once_with_the_keys() -> None:
    """A third below its limit at home is muddy in every key that stays near it."""
    assert _remarks(build(LH="[C2 E2]:4")) == [
        (
            "theory.low-interval: the major third C2–E2 in bar 1 lies below B2, where it begins to sound "
            "clear, in every key; spread the notes or write the device an octave higher"
        )
    ]


def test_an_octave_or_a_fifth_in_the_bass_is_clear() -> None:
    """Fifths above C♯2 and octaves anywhere give no remark."""
    assert _remarks(build(LH="[C3 G3]:2 [C1 C2]:2")) == []


def test_a_wide_stretch_is_measured_in_every_key() -> None:
    """Semitones are the same everywhere, millimetres are not."""
    assert _remarks(build("[C4 E5]:4")) == [
        (
            "theory.reach: the right hand stretches 16 semitones (C4–E5, 212 mm) in bar 1, wider than the "
            "hand span of 14; 223 mm in D♭, D, E♭, E, A♭, A, B♭ and B; roll it, share it "
            f"between the hands or set hand_span; {CAUTION}"
        )
    ]


def test_the_hand_span_is_a_setting() -> None:
    """A tenth is no remark for a hand that reaches it; an octave is one for a child's."""
    assert _remarks(build("[C4 E5]:4"), hand_span=16) == []
    assert len(_remarks(build("[C4 C5]:4"), hand_span=11)) == 1


def test_notes_held_count_for_the_stretch() -> None:
    """A note held under another is held by the same hand."""
    assert len(_remarks(build("E5:4", RH2="C4:4"))) == 1


def test_six_notes_are_more_than_a_hand_has_fingers() -> None:
    """Five are no remark, six are."""
    assert _remarks(build("[C4 D4 E4 F4 G4]:4")) == []
    assert _remarks(build("[C4 D4 E4 F4 G4 A4]:4")) == [
        (
            "theory.notes-in-hand: the right hand holds 6 notes in bar 1; "
            "give some to the other hand, or let one finger take two keys"
        )
    ]


def test_crossing_hands_are_told() -> None:
    """The left above the right, or both on one key."""
    hint = "let one hand take both notes"
    assert _remarks(build("C4:4", LH="A3:2 D4:2")) == [
        f"theory.crossing: the hands cross in bar 1: left D4, right C4; {hint}"
    ]
    assert _remarks(build("C4:4", LH="C4:4")) == [
        f"theory.crossing: the hands meet on one key in bar 1: left C4, right C4; {hint}"
    ]


@pytest.mark.parametrize(
    ("right", "tempo", "text"),
    [
        ("C4:1/4 D4:1/4 E4:1/4 F4:1/4 G4:3", 140, ""),
        ("C4:1/4 D4:1/4 E4:1/4 F4:1/4 G4:3", 160, "plays 10.7 notes"),
        ("C4:1/4 C4:1/4 C4:1/4 C4:1/4 C4:3", 80, ""),
        ("C4:1/4 C4:1/4 C4:1/4 C4:1/4 C4:3", 100, "strikes the same keys 6.7 times"),
        ("[C4 E4]:1/4 [D4 F4]:1/4 [E4 G4]:1/4 [F4 A4]:1/4 [G4 B4]:3", 100, "strikes 6.7 chords"),
        ("C4:1/4 D4:1/4 E4:1/4 G4:13/4", 300, ""),
    ],
)
def test_fast_runs_are_told(right: str, tempo: int, text: str) -> None:
    """Lines, repeated keys and chords have their own limits; a burst of four is an ornament."""
    told = f"the right hand {text} a second in bar 1 at tempo {tempo}"
    whole = f"theory.speed: {told}; practise it slowly; {CAUTION}"
    assert _remarks(build(right), tempo=tempo) == ([whole] if text else [])


def test_without_a_tempo_nothing_is_fast() -> None:
    """Speed is judged at the tempo of the device."""
    assert _remarks(build("C4:1/8 D4:1/8 E4:1/8 F4:1/8 G4:3")) == []


def test_the_tempo_counts_the_beat() -> None:
    """In 12/8 the beat is a dotted quarter."""
    line = " ".join(["C4:1/2 D4:1/2 E4:1/2"] * 4)
    assert _remarks(build(line, meter="12/8"), tempo=190) == []
    assert len(_remarks(build(line, meter="12/8"), tempo=210)) == 1
