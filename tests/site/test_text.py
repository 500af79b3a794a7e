"""How accidentals are written, for readers and for the search."""

import pytest

from transposary.site.text import other_spellings, readable


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("1 b3 #4 bb7 | (b9 13)", "1 ♭3 ♯4 ♭♭7 | (♭9 13)"),
        ("bVII7 #ivo7 V7(b9)/ii", "♭VII7 ♯ivo7 V7(♭9)/ii"),
        ("major triad, dominant 9th rootless", "major triad, dominant 9th rootless"),
        ("2& 4", "2& 4"),
    ],
)
def test_claims_are_set_with_printed_accidentals(written: str, read: str) -> None:
    """Degrees and numerals get ♭ and ♯, words keep their letters."""
    assert readable(written) == read


@pytest.mark.parametrize(
    ("text", "others"),
    [
        ("the ♭7 of E♭, F♯m7♭5", ("b7", "Eb", "F#m7b5")),
        ("b7 over Bb7 or F#m7b5", ("♭7", "B♭7", "F♯m7♭5")),
        ("(♭3 5 ♭7) in A minor", ("b3", "b7")),
        ("Beebop bebop Abba abbey 7", ()),
    ],
)
def test_both_spellings_of_accidentals_can_be_searched(text: str, others: tuple[str, ...]) -> None:
    """Words with an accidental are listed in the spelling that the page does not have."""
    assert other_spellings(text) == others
