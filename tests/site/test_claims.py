"""Claims as statements for readers."""

from transposary.glossary import Claim, ScaleClaim
from transposary.problems import Place, SourceText
from transposary.site.pages.claims import claim_sentence, scale_sentence

HERE = Place("devices/x.md", 3, 5)


def _text(value: str) -> SourceText:
    return SourceText(value, HERE)


def test_each_claim_is_a_sentence() -> None:
    """A claim reads as a statement, with printed accidentals and its own hand."""
    claims = (
        Claim("degrees", None, (_text("1 b3 | 4"),), HERE),
        Claim("top", "LH", (_text("5 #4"),), HERE),
        Claim("chord_degrees", None, (_text("(3 b7) | (1 3)"),), HERE),
        Claim("harmony", None, (_text("bVII7 | I"),), HERE),
        Claim("harmony", None, (_text("I7"),), HERE),
        Claim("shapes", None, (_text("minor 7th"), _text("major triad 2nd inversion")), HERE),
        Claim("rhythm", "RH2", (_text("1 2& | 3"),), HERE),
    )
    assert [claim_sentence(claim) for claim in claims] == [
        "From the tonic, the notes are 1 ♭3 | 4.",
        "From the tonic, the highest notes of the left hand are 5 ♯4.",
        "From the root of each chord, the notes are (3\u00a0♭7) | (1\u00a03).",
        "The chords are ♭VII7 | I.",
        "The chord is I7.",
        "What is struck together is, one after the other: minor 7th; major triad 2nd inversion.",
        "Counted aloud, the second voice of the right hand strikes on 1 2& | 3.",
    ]


def test_a_scale_says_where_it_stands_and_what_is_outside() -> None:
    """A scale is named with its degree, its bars and the notes that are none of it."""
    plain = ScaleClaim(_text("dorian"), None, None, None, None, HERE)
    full = ScaleClaim(_text("blues"), _text("b6"), _text("1-2"), _text("3"), "RH", HERE)
    assert [scale_sentence(plain), scale_sentence(full)] == [
        "The notes come from the dorian scale.",
        "The notes of the right hand in bars 1–2 come from the blues scale on the degree ♭6, 3 aside.",
    ]
