"""The author's claims as statements for readers.

Each has been checked against the notes, or the build would have failed.
"""

from __future__ import annotations

import re

from transposary.glossary import Claim, Device, ScaleClaim
from transposary.problems import Fault
from transposary.site.text import readable
from transposary.theory.numerals import parse_numeral, pretty_numeral

# By claim: what is said of everything together, and of one voice or hand ({who}).
_WORDS = {
    "degrees": ("From the tonic, the notes are {text}.", "From the tonic, the {who} plays {text}."),
    "bass": (
        "From the tonic, the lowest notes are {text}.",
        "From the tonic, the lowest notes of the {who} are {text}.",
    ),
    "top": (
        "From the tonic, the highest notes are {text}.",
        "From the tonic, the highest notes of the {who} are {text}.",
    ),
    "chord_degrees": (
        "From the root of each chord, the notes are {text}.",
        "From the root of each chord, the {who} plays {text}.",
    ),
    "chord_bass": (
        "From the root of each chord, the lowest notes are {text}.",
        "From the root of each chord, the lowest notes of the {who} are {text}.",
    ),
    "chord_top": (
        "From the root of each chord, the highest notes are {text}.",
        "From the root of each chord, the highest notes of the {who} are {text}.",
    ),
    "harmony": ("The chords are {text}.", "The chords under the {who} are {text}."),
    "shapes": (
        "What is struck together is, one after the other: {text}.",
        "What the {who} strikes together is, one after the other: {text}.",
    ),
    "intervals": (
        "The double stops are {text}.",
        "The double stops of the {who} are {text}.",
    ),
    "rhythm": ("Counted aloud, it is struck on {text}.", "Counted aloud, the {who} strikes on {text}."),
}
_ONE_CHORD = ("The chord is {text}.", "The chord under the {who} is {text}.")
_WHO = {
    "RH": "right hand",
    "LH": "left hand",
    "RH2": "second voice of the right hand",
    "LH2": "second voice of the left hand",
}


def proved(device: Device) -> tuple[str, ...]:
    """Says what the author claims about a device, one sentence a claim."""
    said = [claim_sentence(claim) for claim in device.claims if claim.name in _WORDS]
    return (*said, *(scale_sentence(scale) for scale in device.scales))


def claim_sentence(claim: Claim) -> str:
    """Says a claim about degrees, chords, shapes, intervals or rhythm."""
    together, alone = _WORDS[claim.name]
    if claim.name == "harmony" and len(claim.texts) == 1 and len(claim.texts[0].value.split()) == 1:
        together, alone = _ONE_CHORD
    texts = (text.value.strip() for text in claim.texts)
    joined = _set(claim.name, "; ".join(texts) if claim.name == "shapes" else " ".join(texts))
    return (
        together.format(text=joined)
        if claim.scope is None
        else alone.format(text=joined, who=_who(claim.scope))
    )


def _set(name: str, text: str) -> str:
    if name == "harmony":
        return " ".join(map(_numeral, text.split()))
    # No line breaks within what is struck together.
    return re.sub(r"\([^()]*\)", lambda group: group[0].replace(" ", "\u00a0"), readable(text))


def _numeral(word: str) -> str:
    numeral = parse_numeral(word)
    return readable(word) if isinstance(numeral, Fault) else pretty_numeral(numeral)


def _who(scope: str) -> str:
    return _WHO.get(scope, scope)


def scale_sentence(scale: ScaleClaim) -> str:
    """Says which scale the notes come from."""
    who = "The notes" if scale.scope is None else f"The notes of the {_who(scale.scope)}"
    root = f" on the degree {readable(scale.root.value)}" if scale.root is not None else ""
    bars = f" in bars {scale.bars.value.replace('-', '–')}" if scale.bars is not None else ""
    outside = f", {readable(scale.outside.value)} aside" if scale.outside is not None else ""
    return f"{who}{bars} come from the {scale.name} scale{root}{outside}."
