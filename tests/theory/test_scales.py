"""The scales of the trade."""

import pytest

from transposary.passage import Key, Mode
from transposary.pitch import Degree, NoteName
from transposary.problems import Fault
from transposary.theory.scales import SCALES, key_degrees, parse_scale, scales_holding


def _named(name: str) -> list[int]:
    scale = parse_scale(name)
    assert not isinstance(scale, Fault), scale
    return sorted(scale.semitones)


@pytest.mark.parametrize(
    ("name", "steps"),
    [
        # Common practice, no source: steps in semitones from the root up to its octave.
        ("major", "2212221"),
        ("dorian", "2122212"),
        ("phrygian", "1222122"),
        ("lydian", "2221221"),
        ("mixolydian", "2212212"),
        ("aeolian", "2122122"),
        ("locrian", "1221222"),
        ("harmonic minor", "2122131"),
        ("melodic minor", "2122221"),
        ("altered", "1212222"),
        ("lydian dominant", "2221212"),
        ("phrygian dominant", "1312122"),
        ("lydian augmented", "2222121"),
        ("whole tone", "222222"),
        ("whole-half diminished", "21212121"),
        ("half-whole diminished", "12121212"),
        ("major pentatonic", "22323"),
        ("minor pentatonic", "32232"),
        ("blues", "321132"),
        ("major blues", "211323"),
        ("bebop dominant", "22122111"),
        ("bebop major", "22121121"),
        ("bebop dorian", "21112212"),
        ("bebop melodic minor", "21221121"),
        ("chromatic", "111111111111"),
    ],
)
def test_scales_go_by_their_steps(name: str, steps: str) -> None:
    """Each scale has the steps by which the trade knows it."""
    places = [sum(map(int, steps[:count])) for count in range(len(steps))]
    assert _named(name) == places
    assert sum(map(int, steps)) == 12


@pytest.mark.parametrize(
    ("name", "parent", "degree"),
    [
        # Common practice, no source: modes of the same notes on another root.
        ("dorian", "major", "2"),
        ("phrygian", "major", "3"),
        ("lydian", "major", "4"),
        ("mixolydian", "major", "5"),
        ("natural minor", "major", "6"),
        ("locrian", "major", "7"),
        ("dorian b2", "melodic minor", "2"),
        ("lydian augmented", "melodic minor", "b3"),
        ("lydian dominant", "melodic minor", "4"),
        ("mixolydian b6", "melodic minor", "5"),
        ("locrian natural 2", "melodic minor", "6"),
        ("altered", "melodic minor", "7"),
        ("phrygian dominant", "harmonic minor", "5"),
        ("minor pentatonic", "major pentatonic", "6"),
        ("blues", "major blues", "6"),
    ],
)
def test_modes_share_the_notes_of_their_parent(name: str, parent: str, degree: str) -> None:
    """A mode has its parent's notes, begun on another degree."""
    shift = Degree.parse(degree).semitones
    assert _named(name) == sorted((one - shift) % 12 for one in _named(parent))


def test_names_are_found_however_they_are_written() -> None:
    """Case, hyphens, blanks and the word scale do not count; each name belongs to one scale."""
    assert _named("Lydian-Dominant scale") == _named("lydian dominant")
    names = [name for scale in SCALES for name in (scale.name, *scale.also)]
    assert len(names) == len(set(names))
    assert all(parse_scale(name) == scale for scale in SCALES for name in (scale.name, *scale.also))


def test_an_unknown_scale_has_a_hint() -> None:
    """A name that nobody knows is a fault with the nearest name, or all of them."""
    assert parse_scale("mixolidian") == Fault(
        0, "no scale is called 'mixolidian'", "did you mean 'mixolydian'?"
    )
    unknown = parse_scale("xyz")
    assert isinstance(unknown, Fault)
    assert unknown.hint.startswith("the scales are major, minor, mixolydian, ")


def test_scales_that_hold_notes_come_smallest_first() -> None:
    """The smallest scale says most about its notes."""
    found = [scale.name for scale in scales_holding((0, 3, 5, 6, 7, 10))]
    assert found[0] == "blues"
    assert found[-1] == "chromatic"


@pytest.mark.parametrize("mode", Mode)
def test_a_key_has_the_degrees_of_its_scale(mode: Mode) -> None:
    """The degrees of a key's signature are those of the scale that it is named after."""
    scale = parse_scale(mode)
    assert not isinstance(scale, Fault)
    assert key_degrees(Key(NoteName.parse("Eb"), mode)) == scale.degrees
