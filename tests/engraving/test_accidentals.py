"""Printed accidentals."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element, fromstring

import pytest
from hypothesis import given, settings

from tests.strategies import tunes
from tests.theory.abc import passage
from transposary.engraving.accidentals import printed_accidentals, signature_alters
from transposary.engraving.musicxml import write_musicxml
from transposary.notes import notes
from transposary.passage import Passage

_SIGNS = {-2: "bb", -1: "b", 0: "n", 1: "#", 2: "x"}


def _shown(abc: str) -> str:
    read = passage(abc)
    return " ".join(
        "." if one is None else f"({_SIGNS[one.alter]})" if one.reminder else _SIGNS[one.alter]
        for one in printed_accidentals(read, notes(read))
    )


def _in(key: str, music: str) -> str:
    return _shown(f"M:4/4\nL:1/4\nK:{key}\n{music}\n")


@pytest.mark.parametrize(
    ("key", "music", "expected"),
    [
        ("C", "^F ^F =F F |]", "# . n ."),
        ("D", "F =F =F ^F |]", ". n . #"),
        ("Gb", "C __B _B c |]", ". bb b ."),
        ("C", "^F4- | ^F2 ^F2 |]", "# . #"),
        ("C", "^F4- | ^F2 =F2 |]", "# . (n)"),
        ("C", "^F4 | =F4 | F4 |]", "# (n) ."),
        ("C", "^F4 | G4 | F4 |]", "# . ."),
        ("C", "^F2 =f2 |]", "# (n)"),
        ("C", "^F2- ^F2 |]", "# ."),
        ("C", "{^F}G2 ^F2 |]", "# . ."),
        ("C", "^F4 | [K:G] F2 =F2 |]", "# . n"),
        ("G", "F4 | [K:F] F4 |]", ". ."),
    ],
)
def test_an_accidental_holds_for_its_bar_and_is_called_back_after_it(
    key: str, music: str, expected: str
) -> None:
    """Common practice, no source: once a bar, none on tied notes, a reminder where an ear would carry on."""
    assert _in(key, music) == expected


def test_two_voices_of_a_staff_share_accidentals_in_time() -> None:
    """What the second voice alters first, the first voice need not alter again; another staff must."""
    music = "M:4/4\nL:1/4\nK:C\nV:RH\ng2 ^f2 |]\nV:RH2\n^f2 e2 |]\nV:LH clef=bass\n^F,4 |]\n"
    assert _shown(music) == ". . # . #"


def test_signatures_alter_letters_in_the_order_of_fifths() -> None:
    """Two sharps raise F and C, three flats lower B, E and A (common practice, no source)."""
    assert signature_alters(2) == (1, 0, 0, 1, 0, 0, 0)
    assert signature_alters(-3) == (0, 0, -1, 0, 0, -1, -1)
    assert signature_alters(0) == (0,) * 7


_SOUNDS = {"flat-flat": -2, "flat": -1, "natural": 0, "sharp": 1, "double-sharp": 2}
_ORDER = "FCGDAEB"


def _timed(measure: Element) -> Iterator[tuple[int, bool, Element]]:
    """Walks through the notes of a bar as (time, whether it is no grace, note)."""
    now = begun = 0
    for element in measure:
        length = int(element.findtext("duration", "0"))
        if element.tag == "backup":
            now -= length
        elif element.tag == "note":
            if element.find("chord") is None:
                begun = now
                now += length
            if element.find("pitch") is not None:
                yield begun, element.find("grace") is None, element


def _staff_alters(measures: list[Element], staff: int) -> Iterator[tuple[int, int]]:
    """Plays one staff from what is printed: signature, accidentals and ties; gives played and meant."""
    signature = 0
    tied: dict[tuple[str, str], list[int]] = {}
    for measure in measures:
        signature = int(measure.findtext("attributes/key/fifths", str(signature)))
        raised = _ORDER[:signature] if signature > 0 else ""
        lowered = _ORDER[signature:] if signature < 0 else ""
        state: dict[str, int] = {}
        for _, _, note in sorted(_timed(measure), key=lambda one: one[:2]):
            if note.findtext("staff") != str(staff):
                continue
            step = note.findtext("pitch/step", "")
            place = step + note.findtext("pitch/octave", "")
            line = (note.findtext("voice", ""), place)
            accidental = note.findtext("accidental")
            if note.find("tie[@type='stop']") is not None:
                played = tied[line].pop(0)
            elif accidental is not None:
                played = state[place] = _SOUNDS[accidental]
            else:
                played = state.get(place, (step in raised) - (step in lowered))
            if note.find("tie[@type='start']") is not None:
                tied.setdefault(line, []).append(played)
            yield played, int(note.findtext("pitch/alter", "0"))


@settings(max_examples=40)
@given(tunes())
def test_a_player_who_reads_what_is_printed_plays_what_is_meant(tune: Passage) -> None:
    """By signature, accidentals and ties alone every note comes out at its pitch, on every staff."""
    measures = list(fromstring(write_musicxml(tune)).iter("measure"))
    for staff in range(1, len(tune.hands) + 1):
        played = list(_staff_alters(measures, staff))
        assert [one for one, _ in played] == [meant for _, meant in played]
