"""Fingering against published results.

The model: R. Parncutt, J. A. Sloboda, E. F. Clarke, M. Raekallio and P. Desain, "An Ergonomic Model
of Keyboard Fingering for Melodic Fragments", Music Perception 14(4), 1997: its table of spans, and
what it lists for the openings of studies of Czerny's op. 821, by way of the tests of pydactyl
(D. Randolph), which transcribe the paper's tables. The fragment that goes round in a circle is left
out. Costs may differ by a point: pydactyl says that the authors' program and their text differ on
two rules.

Scales and arpeggios: C. C. Chang, "Fundamentals of Piano Practice", tables 1.III.5a and b; a sheet of
the University of Evansville; a chart of the BMTA.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise, product

import pytest

from tests.theory.build import build
from transposary.passage import Hand
from transposary.pitch import Pitch
from transposary.settings import Settings
from transposary.theory.fingering.figures import HARMONIC_MINOR, MAJOR, MAJOR_TRIAD, MINOR_TRIAD, standard
from transposary.theory.fingering.keys import finger
from transposary.theory.fingering.model import cost, is_black
from transposary.theory.fingering.search import Moment, Wish, search
from transposary.theory.fingering.spans import FINGERS, SPANS, reaches, span_of, stretched
from transposary.theory.keys import placements

FRAGMENTS = {
    "A": (
        (76, 79, 77, 79, 76, 77, 74, 76),
        (
            "6: 24342313; 7: 13231213; 8: 14342313 35453423; 9: 13231323 13231423 13242313; "
            "10: 12142313 13232313 24342323"
        ),
    ),
    "C": (
        (64, 61, 64, 69, 64),
        "9: 21241 21251; 10: 31241 31251 32351 42351; 11: 31351 42151; 12: 21351 32151",
    ),
    "D": (
        (61, 65, 63, 66, 65, 68, 66),
        (
            "12: 1323132 1324132; 13: 2412132; 14: 1212132 1213242 1323142; 15: 1323242 2413242 2435132; "
            "16: 1213232"
        ),
    ),
    "E": (
        (81, 92, 93, 88, 89, 85, 86, 80),
        (
            "24: 14523152; 28: 14523142; 31: 14512152; 32: 14513152 14515342 14515352 14524152; "
            "33: 13412152 13523152 14515452"
        ),
    ),
    "F": (
        (55, 58, 62, 58, 67, 62),
        "17: 124251; 19: 124151; 20: 123151 124141; 22: 123141 124131; 23: 135141 135251; 24: 125251 135131",
    ),
    "G": (
        (90, 91, 90, 88, 90, 88, 86),
        (
            "2: 3432321; 3: 2321321; 5: 3431321; 6: 2432321 4542321; 7: 2132321; "
            "8: 2321421 2321431 3132321 3432421"
        ),
    ),
}
NOT_AMONG_THE_BEST = {("C", "21351"), ("G", "3432421")}

MAJOR_SCALES = """
C 12312345 54321321; G 12312345 54321321; D 12312345 54321321; A 12312345 54321321
E 12312345 54321321; B 12312345 43214321; F 12341234 54321321; Bb 41231234 32143213
Eb 31234123 32143213; Ab 34123123 32143213; Db 23123412 32143213; Gb 23412312 43213214
"""
MINOR_SCALES = """
A 12312345 54321321; E 12312345 54321321; D 12312345 54321321; G 12312345 54321321
C 12312345 54321321; B 12312345 43214321; F 12341234 54321321; Bb 41231234 21321432
Eb 31234123 21432132; G# 34123123 32143213; C# 34123123 32143213; F# 34123123 43213214
"""
ARPEGGIOS = """
C 1235 5421; D 1235 5321; Eb 4124 2142; F 1235 5421; F# 1235 5321; Ab 4124 2142
"""
MINOR_ARPEGGIOS = """
A 1235 5421; Eb 1235 5421; Bb 2312 3213; C 1235 5321; C# 4124 2142; B 1235 5421
"""


def _published(name: str) -> dict[str, int]:
    """Gives the fingerings listed for a fragment, with their costs."""
    lists = (part.strip().split(": ") for part in FRAGMENTS[name][1].split(";"))
    return {fingers: int(points) for points, listed in lists for fingers in listed.split()}


def _legal(keys: Sequence[int], last: int, begun: tuple[int, ...] = ()) -> Iterator[tuple[int, ...]]:
    """Gives all fingerings within the spans that end with a certain finger."""
    place = len(begun)
    if place == len(keys):
        if begun[-1] == last:
            yield begun
        return
    for other in FINGERS:
        if not begun or (other != begun[-1] and reaches(begun[-1], other, keys[place] - keys[place - 1])):
            yield from _legal(keys, last, (*begun, other))


def _ranked(name: str) -> list[tuple[int, str]]:
    keys = FRAGMENTS[name][0]
    last = int(next(iter(_published(name)))[-1])
    return sorted((cost(keys, one), "".join(map(str, one))) for one in _legal(keys, last))


@pytest.mark.parametrize("name", FRAGMENTS)
def test_the_easiest_fingerings_are_the_published_ones(name: str) -> None:
    """In all six fragments the fingerings of least cost are those that the paper lists first."""
    published, ranked = _published(name), _ranked(name)
    easiest = {fingers for points, fingers in ranked if points == ranked[0][0]}
    assert easiest == {fingers for fingers, points in published.items() if points == min(published.values())}


@pytest.mark.parametrize("name", FRAGMENTS)
def test_the_search_finds_the_easiest_fingering(name: str) -> None:
    """What is suggested for a fragment is one of the fingerings that the paper lists first."""
    keys = FRAGMENTS[name][0]
    published = _published(name)
    last = int(next(iter(published))[-1])
    wishes = [None] * (len(keys) - 1) + [Wish((last,))]
    found = search([Moment((key,), wish=wish) for key, wish in zip(keys, wishes, strict=True)])
    assert published["".join(str(grip[0]) for grip in found)] == min(published.values())


@pytest.mark.parametrize("name", FRAGMENTS)
def test_published_fingerings_cost_what_the_paper_says(name: str) -> None:
    """All sixty listed fingerings cost what is published, or a point more or less."""
    for fingers, points in _published(name).items():
        assert abs(cost(FRAGMENTS[name][0], [int(one) for one in fingers]) - points) <= 1, fingers


def test_published_fingerings_are_among_the_ten_best() -> None:
    """58 of the sixty listed fingerings are among the ten best, counting those that cost the same."""
    missing = set()
    for name in FRAGMENTS:
        ranked = _ranked(name)
        best = {fingers for points, fingers in ranked if points <= ranked[9][0]}
        missing |= {(name, fingers) for fingers in _published(name) if fingers not in best}
    assert missing == NOT_AMONG_THE_BEST


def test_the_table_of_spans_is_consistent() -> None:
    """The regularities of the published table hold in every row."""
    assert len(SPANS) == 10
    for (low, high), span in SPANS.items():
        assert span.far == span.most - 2
        assert span.near == (span.least + 2 if low == 1 else span.least)
        if low != 1:
            assert (span.relaxed_most, span.relaxed_least) == (2 * (high - low), 2 * (high - low) - 1)


def _rows(text: str) -> list[tuple[str, Hand, str]]:
    rows = [one.split() for one in text.replace("\n", ";").split(";") if one.strip()]
    return [(name, hand, both[at]) for name, *both in rows for at, hand in enumerate(Hand)]


def _line(name: str, pattern: Sequence[int]) -> list[str]:
    tonic = Pitch.parse(f"{name}3").midi
    names = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    return [f"{names[midi % 12]}{midi // 12 - 1}" for midi in accumulate(pattern, initial=tonic)]


def _suggested(row: Sequence[str], hand: Hand) -> str:
    """Fingers a line in the key in which it is written."""
    passage = build(**{"right" if hand is Hand.RIGHT else "LH": " ".join(f"{one}:1/2" for one in row)})
    home = next(key for key in placements(passage, None, Settings()) if key.slot == "C")
    (found,) = finger(passage, [home])
    return "".join(str(grip[0]) for grip in found.fingerings[0].grips)


@pytest.mark.parametrize(
    ("pattern", "name", "hand", "fingers"),
    [
        *((MAJOR, *row) for row in _rows(MAJOR_SCALES)),
        *((HARMONIC_MINOR, *row) for row in _rows(MINOR_SCALES)),
        *((MAJOR_TRIAD, *row) for row in _rows(ARPEGGIOS)),
        *((MINOR_TRIAD, *row) for row in _rows(MINOR_ARPEGGIOS)),
    ],
)
def test_scales_and_arpeggios_have_their_standard_fingering(
    pattern: tuple[int, ...], name: str, hand: Hand, fingers: str
) -> None:
    """Up and down, all 48 scales and the arpeggios are fingered as the published charts have them."""
    row = _line(name, pattern)
    assert _suggested(row, hand) == fingers
    assert _suggested(row[::-1], hand) == fingers[::-1]


def test_chromatic_scales_have_their_standard_fingering() -> None:
    """From C to C as two public sources have the right hand; the left hand is its mirror about D."""
    row = ["C4", "C#4", "D4", "D#4", "E4", "F4", "F#4", "G4", "G#4", "A4", "A#4", "B4", "C5"]
    assert _suggested(row, Hand.RIGHT) == "1313123131312"
    assert _suggested(row[::-1], Hand.RIGHT) == "2131313213131"
    down = ["E4", "Eb4", "D4", "C#4", "C4", "B3", "A#3", "A3", "G#3", "G3", "F#3", "F3", "E3"]
    assert _suggested(down, Hand.LEFT) == "1313123131312"


def test_arpeggios_pass_the_thumb_a_semitone_too_far_at_most() -> None:
    """All steps of the 48 arpeggios lie within the spans that can be played, or a semitone beyond."""
    beyond = set()
    for pattern, tonic, hand in product((MAJOR_TRIAD, MINOR_TRIAD), range(12), Hand):
        row = list(accumulate(pattern, initial=60 + tonic))
        keys = row if hand is Hand.RIGHT else [124 - key for key in row]
        touches = list(pairwise(zip(keys, standard(pattern, tonic, hand), strict=True)))
        for (first, one), (second, two) in touches:
            span, semitones = span_of(one, two), stretched(one, two, second - first)
            beyond.add(max(span.least - semitones, semitones - span.most, 0))
    assert beyond == {0, 1}


def test_the_model_alone_finds_half_of_the_standard_scales() -> None:
    """Without the charts 25 of the 48 scales come out as published; all of these can be played."""
    found = 0
    for pattern, text in ((MAJOR, MAJOR_SCALES), (HARMONIC_MINOR, MINOR_SCALES)):
        for name, hand, fingers in _rows(text):
            row = list(accumulate(pattern, initial=Pitch.parse(f"{name}3").midi))
            keys = row if hand is Hand.RIGHT else [124 - key for key in row]
            grips = [int(finger) for finger in fingers]
            touches = list(pairwise(zip(keys, grips, strict=True)))
            assert all(reaches(one, two, second - first) for (first, one), (second, two) in touches)
            assert not any(is_black(key) for key, finger in zip(keys, grips, strict=True) if finger == 1)
            suggested = [grip[0] for grip in search([Moment((key,)) for key in keys])]
            found += suggested == grips
    assert found == 25


@pytest.mark.parametrize(
    ("chord", "right", "left"),
    [
        ("C4 E4 G4", "135", "531"),
        ("E4 G4 C5", "125", "531"),
        ("G4 C5 E5", "135", "521"),
        ("C4 E4 G4 B4", "1235", "5321"),
        ("C4 C5", "15", "51"),
    ],
)
def test_chords_are_fingered_as_they_are_taught(chord: str, right: str, left: str) -> None:
    """Triads, seventh chords and octaves of white keys; common practice, no source."""
    for hand, fingers in ((Hand.RIGHT, right), (Hand.LEFT, left)):
        passage = build(**{"right" if hand is Hand.RIGHT else "LH": f"[{chord}]:4"})
        home = next(key for key in placements(passage, None, Settings()) if key.slot == "C")
        (found,) = finger(passage, [home])
        assert "".join(map(str, found.fingerings[0].grips[0])) == fingers
