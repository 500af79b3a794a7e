"""Keys found by ear, against what transcribers and the demo's author wrote.

Profiles: Krumhansl and Kessler (1982), as two public transcriptions give them. Tunes: Ryan's Mammoth
Collection (1883), whole, with the key that its transcriber wrote; see `tunes`.
"""

from functools import cache

from tests.outside.played import demo_pieces, meant
from tests.outside.tunes import tunes
from transposary.capture.lengths import Placed
from transposary.capture.transcribing import key_of
from transposary.notes import attacks
from transposary.passage import Hand, Key, Mode, Passage
from transposary.theory.keyfinding import MAJOR, MINOR, KeyFinding, KeyGuess, find_key

_WITH_MINOR_THIRD = (Mode.MINOR, Mode.DORIAN, Mode.PHRYGIAN, Mode.LOCRIAN)


def _sounding(passage: Passage) -> list[tuple[int, float]]:
    return [(note.pitch.midi, float(note.duration)) for note in attacks(passage)]


@cache
def _tunes() -> tuple[Passage, ...]:
    return tuple(tunes().values())


def _is(guess: KeyGuess, key: Key) -> bool:
    mode = Mode.MINOR if key.mode in _WITH_MINOR_THIRD else Mode.MAJOR
    return guess.key.tonic.pitch_class == key.tonic.pitch_class and guess.key.mode is mode


def test_the_profiles_are_those_of_the_paper() -> None:
    """Every value is the published one."""
    assert MAJOR == (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
    assert MINOR == (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)


def test_the_key_of_whole_tunes_is_found() -> None:
    """The profiles alone name the transcriber's key of 85 in a hundred tunes in major or minor."""
    plain = [tune for tune in _tunes() if tune.key.mode in (Mode.MAJOR, Mode.MINOR)]
    right = [_is(find_key(_sounding(tune)).first, tune.key) for tune in plain]
    assert sum(right) / len(right) >= 0.85


def test_moving_a_tune_moves_its_key() -> None:
    """A tune moved by any number of semitones is found in a key moved by as many."""
    for tune in _tunes()[::5]:
        sounding = _sounding(tune)
        home = find_key(sounding)
        for up in range(1, 12):
            moved = find_key([(number + up, length) for number, length in sounding])
            for one, other in ((home.first, moved.first), (home.second, moved.second)):
                assert (other.key.tonic.pitch_class - one.key.tonic.pitch_class) % 12 == up
                assert other.key.mode is one.key.mode


def _devices() -> list[tuple[KeyFinding, Key]]:
    found = []
    for piece in demo_pieces():
        placed = [Placed(one.number, one.onset, one.length, Hand(one.hand)) for one in meant(piece)]
        found.append((key_of(placed, piece.passage.meter), piece.passage.key))
    return found


def test_the_key_of_a_short_device_is_among_the_first_two_or_asked_for() -> None:
    """Of few notes the ear is often not sure; then it asks, and is seldom wrong unasked."""
    found = _devices()
    among = [_is(finding.first, key) or _is(finding.second, key) for finding, key in found]
    assert sum(among) / len(found) >= 0.85
    unasked = [finding.sure and not _is(finding.first, key) for finding, key in found]
    assert sum(unasked) / len(found) <= 0.08
