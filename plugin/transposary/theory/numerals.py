"""Roman numerals in players' style.

    numeral = {b | #} roman figure ["/" numeral] ["/" degree]

Degrees are counted from the tonic's major scale in every mode (A minor: `i iiø7 bIII iv7 V7 bVI
bVII`). Case gives the third: small numerals have a minor one, all others are capitals. The
figure is what a chord symbol has behind its quality: a bare `7` is a minor seventh, then
`maj7 ø7 o o7 + +7 sus4 6 69 9 11 13`, with alterations in parentheses. A slash and a numeral is
an applied chord (`V7/ii`); a slash and a degree is a bass, counted from the tonic like the
numerals (`V/7` is G/B in C, `ii7/5` is Dm7/G). The Neapolitan is `bII` (`bII/4` with its third in
the bass); augmented sixths are what they sound like, chords on the lowered sixth: `bVI7(no5)`
Italian, `bVI7(b5)` French, `bVI7` German.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from transposary.passage import Chord, Key
from transposary.pitch import Degree, NoteName, accidental, pretty
from transposary.problems import Fault
from transposary.theory.chord_vocabulary import figure_of, has_minor_third, suffix_of
from transposary.theory.figured_bass import refuse_foreign
from transposary.theory.suffixes import plain_suffix, tones_of

_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")
_NUMERAL = re.compile(r"([b♭]*|[#♯]*)(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(.*)", re.DOTALL)
_BASS = re.compile(r"([b♭]*|[#♯]*)([1-7])")
_MINOR = re.compile(r"min|mi|Min|Mi|MIN|MI|m(?!a)|-")
_DIMINISHED = re.compile(r"o(?!mit)|dim|Dim|ø")
_C = NoteName(0)


@dataclass(frozen=True, slots=True)
class Numeral:
    """A chord counted from a tonic.

    Attributes:
        root: Degree of the root, 1 to 7, from the tonic's major scale (or from the tonic of
            `of`).
        tones: Degrees of the chord over its root, ascending.
        bass: Degree of the bass from the tonic where it is not the root, else None.
        of: For an applied chord, the numeral that it leads to, else None.
    """

    root: Degree
    tones: tuple[Degree, ...]
    bass: Degree | None = None
    of: Numeral | None = None

    def __str__(self) -> str:
        roman = _ROMAN[self.root.number - 1]
        if has_minor_third(self.tones):
            roman = roman.lower()
        figure = figure_of(self.tones)
        if figure == "6" and self.bass is not None:
            figure = "(add6)"  # 6/4 and 6/5 would be figured bass
        text = f"{accidental(self.root.alter)}{roman}{figure}"
        if self.of is not None:
            text += f"/{self.of}"
        return text if self.bass is None else f"{text}/{self.bass}"

    @property
    def plain(self) -> Numeral:
        """The same chord counted from the tonic alone: `V7/ii` becomes `VI7`."""
        if self.of is None:
            return self
        local = self.of.plain.root.above(_C)
        return Numeral(Degree.between(_C, self.root.above(local)), self.tones, self.bass)


def numeral_of(chord: Chord, key: Key) -> Numeral:
    """Counts a chord from the tonic of a key."""
    bass = None if chord.bass is None else Degree.between(key.tonic, chord.bass)
    return Numeral(Degree.between(key.tonic, chord.root), chord.tones, bass)


def realise(numeral: Numeral, key: Key) -> Chord:
    """Gives the chord that a numeral means in a key."""
    plain = numeral.plain
    bass = None if plain.bass is None else plain.bass.above(key.tonic)
    return Chord(plain.root.above(key.tonic), suffix_of(plain.tones), plain.tones, bass)


def pretty_numeral(numeral: Numeral) -> str:
    """Writes a numeral for readers: `♭VII7`, `vii°7`, `V7(♭9)`."""
    return pretty(re.sub(r"(?<=[iv])o", "°", str(numeral)))


def parse_numeral(text: str) -> Numeral | Fault:
    """Reads a numeral such as `ii7`, `bVII7`, `V7(b9)`, `V7/ii`, `I/5`.

    Returns:
        The numeral, or what is wrong with the text and the form to write instead.
    """
    refused = refuse_foreign(text)
    if refused is not None:
        return refused
    match = _NUMERAL.fullmatch(text)
    if match is None:
        return Fault(0, f"expected a numeral I to VII or i to vii, found '{text}'", _from_chord(text))
    at = match.start(3)
    figure, *slashed = match[3].replace("6/9", "69").split("/")
    tones = _tones(match[2], figure)
    if isinstance(tones, Fault):
        return Fault(at + tones.offset, f"'{text}' is no numeral: {tones.text}", tones.hint)
    root = _degree(match[1], str(_ROMAN.index(match[2].upper()) + 1))
    return _with_slashes(Numeral(root, tones), slashed, len(text) - len("/".join(slashed)))


def _with_slashes(numeral: Numeral, parts: list[str], at: int) -> Numeral | Fault:
    """Adds what stands behind slashes: what an applied chord leads to, then a bass."""
    as_bass = _BASS.fullmatch(parts[-1]) if parts else None
    aim: Numeral | None = None
    end = at + len("/".join(parts))
    for part in reversed(parts[:-1] if as_bass else parts):
        found = parse_numeral(part)
        if isinstance(found, Fault):
            start = end - len(part) - (len(parts[-1]) + 1 if as_bass else 0)
            return Fault(start + found.offset, f"behind a slash: {found.text}", found.hint)
        aim = replace(found, of=aim)
        end -= len(part) + 1
    numeral = replace(numeral, of=aim)
    if as_bass is None:
        return numeral
    bass = _degree(as_bass[1], as_bass[2])
    return replace(numeral, bass=None if bass == numeral.plain.root else bass)


def _degree(signs: str, number: str) -> Degree:
    sharp = signs[:1] in ("#", "♯")
    return Degree(int(number), len(signs) if sharp else -len(signs))


def _tones(roman: str, figure: str) -> tuple[Degree, ...] | Fault:
    """Reads a figure, to which the case of its numeral adds the third."""
    plain = plain_suffix(figure)
    small, capital = roman.lower(), roman.upper()
    minor = _MINOR.match(plain)
    if minor is not None:
        hint = f"write '{small}{figure[minor.end() :]}'"
        return Fault(0, f"the case of a numeral gives its third, so that '{minor[0]}' is not needed", hint)
    if _DIMINISHED.match(plain):
        if roman == capital:
            return Fault(0, "a diminished chord has a small numeral", f"write '{small}{figure}'")
        return tones_of(plain)
    if roman == capital:
        return tones_of(plain)
    if plain[:1] in ("+", "5") or "aug" in plain or "sus" in plain:
        text = "only a chord with a minor third has a small numeral"
        return Fault(0, text, f"write '{capital}{figure}'")
    tones = tones_of(f"-{plain}")
    return Fault(max(tones.offset - 1, 0), tones.text, tones.hint) if isinstance(tones, Fault) else tones


def _from_chord(text: str) -> str:
    return "write degrees, not note names" if text[:1] in tuple("ABCDEFG") else ""
