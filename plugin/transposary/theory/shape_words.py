"""Reads how an author says the shape of a chord: `minor 7th 3rd inversion`, `m7 drop-2`."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from transposary.problems import Fault
from transposary.theory.qualities import Quality, all_qualities, qualities_over
from transposary.theory.suffixes import tones_of

_ORDINALS = {
    "first": "1st",
    "second": "2nd",
    "third": "3rd",
    "fourth": "4th",
    "fifth": "5th",
    "sixth": "6th",
}
_POSITION = re.compile(
    rf"\b(root position|rootless|([1-6](st|nd|rd|th)|{'|'.join(_ORDINALS)}) inversion)\b", re.IGNORECASE
)
# "open fifth" is a quality
_SPACING = re.compile(r"\b(close|open(?! fifth)|spread|quartal|shell|drop[- ]?([23]))\b", re.IGNORECASE)
_IDLE = re.compile(r"\b(chord|voicing|position)\b", re.IGNORECASE)
_ROOT = re.compile(r"[A-G](b|#)?(?=[^a-z]|m|sus|dim|aug|add|$)")
_BARE_NUMBER = re.compile(r"(?<![\w#/])(6|7|9|11|13)(?![\w/])")
_LONG = {
    "maj": "major",
    "min": "minor",
    "dom": "dominant",
    "dim": "diminished",
    "aug": "augmented",
    "sixth": "6th",
    "seventh": "7th",
    "ninth": "9th",
    "eleventh": "11th",
    "thirteenth": "13th",
}
_SHORT_FOR = {
    **{kind: f"{kind} triad" for kind in ("major", "minor", "diminished", "augmented", "sus4", "sus2")},
    **{f"{height}th": f"dominant {height}th" for height in (7, 9, 11, 13)},
    "6th": "major 6th",
    "6/9": "major 6/9",
    "add9": "major add9",
    "fifth": "open fifth",
    "half-diminished": "half-diminished 7th",
    "augmented 7th": "dominant 7th #5",
}


@dataclass(frozen=True, slots=True)
class ShapeWords:
    """What an author says of one chord struck; an empty string where nothing is said.

    Attributes:
        quality: Name of the quality, as `name_chord` gives it.
        position: `root position`, `2nd inversion`, `rootless`.
        spacing: `close`, `drop-2`.
    """

    quality: str
    position: str
    spacing: str

    @property
    def key(self) -> str:
        """The key by which shapes are compared."""
        return f"{self.quality}, {self.position}, {self.spacing}"


def read_shape(text: str) -> ShapeWords | Fault:
    """Reads the shape of one chord: quality, inversion or `rootless`, spacing, in any order.

    The quality is said in words (`minor 7th`, `dominant 9th`, `major triad`) or as chord symbols
    write it (`m7`, `9`, `maj7`).
    """
    position = spacing = ""
    if found := _POSITION.search(text):
        position = " ".join(_ORDINALS.get(word, word) for word in found[1].casefold().split())
        text = text.replace(found[0], " ", 1)
    if found := _SPACING.search(text):
        spacing = f"drop-{found[2]}" if found[2] else found[1].casefold()
        text = text.replace(found[0], " ", 1)
    said = " ".join(_IDLE.sub(" ", text).split())
    if not said:
        return ShapeWords("", position, spacing)
    quality = _quality(said)
    return _unknown(said) if quality is None else ShapeWords(quality.name, position, spacing)


def _quality(said: str) -> Quality | None:
    plain = re.sub(r"\b(half|minor|diminished) (?=dim|maj)", r"\1-", said.casefold())
    words = " ".join(_LONG.get(word, word) for word in plain.split())
    words = _BARE_NUMBER.sub(r"\1th", words)
    words = _SHORT_FOR.get(words, words)
    named = next((quality for quality in all_qualities() if quality.name == words), None)
    return named or _by_suffix(said.replace(" ", ""))


def _by_suffix(suffix: str) -> Quality | None:
    tones = tones_of(suffix)
    if isinstance(tones, Fault):
        return None
    found = qualities_over(frozenset(tone.semitones % 12 for tone in tones))
    return next((quality for quality in found if quality.tones == tones), found[0] if found else None)


def _unknown(said: str) -> Fault:
    names = [one.name for one in all_qualities()]
    near = difflib.get_close_matches(said, names, n=2)
    hint = "such as minor 7th, dominant 9th, major triad"
    root = _ROOT.match(said)
    if root and (quality := _quality(said[root.end() :] or "major")) is not None:
        hint = f"a shape has no root, because it goes through all keys: write {quality.name}"
    elif near:
        hint = f"did you mean {' or '.join(near)}?"
    return Fault(0, f"no quality is called {said!r}", hint)
