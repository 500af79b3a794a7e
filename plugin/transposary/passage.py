"""A passage of music as an immutable value: what the notes of a device are.

Times are fractions of a quarter note, counted from the first downbeat (the start of bar 1),
so that the notes of a pickup have negative onsets. Repeats are kept as signs; `stretches`
writes them out for whoever plays. Swing is never written into onsets.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from transposary.pitch import Degree, NoteName, Pitch
from transposary.problems import Place

_NOWHERE = Place("")


class Mode(StrEnum):
    """The modes that a device or a song can be in."""

    MAJOR = "major"
    MINOR = "minor"
    DORIAN = "dorian"
    PHRYGIAN = "phrygian"
    LYDIAN = "lydian"
    MIXOLYDIAN = "mixolydian"
    LOCRIAN = "locrian"

    @property
    def fifths(self) -> int:
        """What the mode adds to the signature of the major key on the same tonic.

        Source: the key table of the ABC standard 2.1, section 4.6 (K: field).
        """
        return {"major": 0, "minor": -3, "dorian": -2, "phrygian": -4, "lydian": 1, "mixolydian": -1}.get(
            self.value, -5
        )


@dataclass(frozen=True, slots=True, order=True)
class Key:
    """A tonic and a mode."""

    tonic: NoteName
    mode: Mode = Mode.MAJOR

    @property
    def signature(self) -> int:
        """Sharps in the key signature; flats are negative."""
        return self.tonic.fifths + self.mode.fifths

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


@dataclass(frozen=True, slots=True, order=True)
class Meter:
    """A time signature.

    Attributes:
        count: The upper number.
        unit: The lower number, a power of two.
        symbol: `C` or `C|` where the author wrote the sign, else empty.
    """

    count: int
    unit: int
    symbol: str = field(default="", compare=False)

    @property
    def length(self) -> Fraction:
        """Length of a bar in quarter notes."""
        return Fraction(4 * self.count, self.unit)

    @property
    def compound(self) -> bool:
        """True where beats divide by three: 6/8, 9/8, 12/8 and the like."""
        return self.unit >= 8 and self.count > 3 and self.count % 3 == 0

    @property
    def beat(self) -> Fraction:
        """Length of the counted beat in quarter notes: a dotted quarter in 12/8, a half in 2/2."""
        one = Fraction(4, self.unit)
        return 3 * one if self.compound else one

    @property
    def beats(self) -> Fraction:
        """Beats in a bar, as they are counted."""
        return self.length / self.beat

    def __str__(self) -> str:
        return f"{self.count}/{self.unit}"


class FeelKind(StrEnum):
    """How the off-beats are played."""

    STRAIGHT = "straight"
    SWING = "swing"
    SHUFFLE = "shuffle"


@dataclass(frozen=True, slots=True)
class Feel:
    """How off-beats are played, and which unit is swung (8 for eighths, 16 for sixteenths)."""

    kind: FeelKind = FeelKind.STRAIGHT
    unit: int = 8

    def __str__(self) -> str:
        return self.kind.value if self.unit == 8 else f"{self.kind.value} {self.unit}"


STRAIGHT = Feel()


@dataclass(frozen=True, slots=True)
class Chord:
    """A chord symbol read into its tones.

    Attributes:
        root: The root.
        suffix: What follows the root as the author wrote it, without the bass: `m7b5`, `maj7`.
        tones: The degrees of the chord over its root, ascending: `1 b3 b5 b7`.
        bass: The bass where it is not the root (`C/E`), else None.
    """

    root: NoteName
    suffix: str
    tones: tuple[Degree, ...]
    bass: NoteName | None = None

    @property
    def names(self) -> tuple[NoteName, ...]:
        """The chord's tones, spelled over its root."""
        return tuple(tone.above(self.root) for tone in self.tones)

    def __str__(self) -> str:
        under = f"/{self.bass}" if self.bass is not None else ""
        return f"{self.root}{self.suffix}{under}"


@dataclass(frozen=True, slots=True)
class Symbol:
    """A chord symbol at a moment of a passage.

    Attributes:
        onset: When it begins to hold; it holds until the next one.
        bar: Number of its bar.
        chord: The chord, or None for `N.C.`.
        place: Where it stands in the author's file.
    """

    onset: Fraction
    bar: int
    chord: Chord | None
    place: Place = field(default=_NOWHERE, compare=False)

    def __str__(self) -> str:
        return "N.C." if self.chord is None else str(self.chord)


class Hand(StrEnum):
    """Which hand plays; each hand has a staff."""

    RIGHT = "RH"
    LEFT = "LH"


class Clef(StrEnum):
    """The clefs, by their names in ABC."""

    TREBLE = "treble"
    BASS = "bass"
    ALTO = "alto"
    TENOR = "tenor"


@dataclass(frozen=True, slots=True)
class Head:
    """One note of a chord, or the only one.

    Attributes:
        pitch: Concert pitch.
        tied: Whether it is tied to the same pitch in the next event of its voice.
        finger: The author's fingering, 1 to 5, or None.
        ghost: A note more felt than heard, engraved small in parentheses.
        place: Where it stands in the author's file.
        slash: A stroke that gives only the rhythm of its chord; its pitch says nothing.
    """

    pitch: Pitch
    tied: bool = False
    finger: int | None = None
    ghost: bool = False
    place: Place = field(default=_NOWHERE, compare=False)
    slash: bool = False


@dataclass(frozen=True, slots=True)
class Grace:
    """A grace note, or several struck together, before an event.

    Attributes:
        heads: The notes, lowest first.
        slashed: Whether it is an acciaccatura.
        quarters: Written length in quarter notes.
    """

    heads: tuple[Head, ...]
    slashed: bool = False
    quarters: Fraction = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Tuplet:
    """Membership of an event in a tuplet: `actual` notes in the time of `normal`."""

    actual: int
    normal: int
    first: bool = False
    last: bool = False


@dataclass(frozen=True, slots=True)
class Event:
    """What a voice does at one moment: notes struck together, or a rest.

    Attributes:
        onset: In quarter notes from the first downbeat.
        duration: Sounding length in quarter notes, tuplets counted in.
        heads: The notes, lowest first; empty for a rest.
        graces: Grace notes before it.
        beamed: Whether a beam joins it to the next event of the voice.
        tuplet: Its place in a tuplet, or None.
        staccato: Marked with a dot.
        accent: Marked with an accent.
        slurs_begun: Slurs that begin here.
        slurs_ended: Slurs that end here.
        hidden: A rest that is not printed.
        place: Where it stands in the author's file.
    """

    onset: Fraction
    duration: Fraction
    heads: tuple[Head, ...] = ()
    graces: tuple[Grace, ...] = ()
    beamed: bool = False
    tuplet: Tuplet | None = None
    staccato: bool = False
    accent: bool = False
    slurs_begun: int = 0
    slurs_ended: int = 0
    hidden: bool = False
    place: Place = field(default=_NOWHERE, compare=False)

    @property
    def end(self) -> Fraction:
        """When it stops sounding."""
        return self.onset + self.duration


@dataclass(frozen=True, slots=True)
class Voice:
    """A line of events that fills every bar of its passage.

    Attributes:
        name: `RH`, `LH`, `RH2` or `LH2`.
        events: In order, without gaps.
        clefs: Changes of clef as (onset, clef); the first one holds from the start.
    """

    name: str
    events: tuple[Event, ...]
    clefs: tuple[tuple[Fraction, Clef], ...]

    @property
    def hand(self) -> Hand:
        """The hand that plays it."""
        return Hand(self.name[:2])


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar.

    Attributes:
        number: As counted by musicians; a pickup is bar 0. Both parts of a bar that a repeat
            sign divides have the same number.
        onset: Its start, in quarter notes from the first downbeat.
        duration: Its length in quarter notes as written (a pickup is short).
        meter: The time signature in force.
        repeat_begun: A repeat begins before it.
        repeat_ended: A repeat ends after it.
        ending: `1` or `2` where a first or second ending begins, else empty.
        ending_closed: Whether the bracket of an ending closes after it.
        double: A double barline stands after it.
    """

    number: int
    onset: Fraction
    duration: Fraction
    meter: Meter
    repeat_begun: bool = False
    repeat_ended: bool = False
    ending: str = ""
    ending_closed: bool = False
    double: bool = False

    @property
    def end(self) -> Fraction:
        """Where the next bar starts."""
        return self.onset + self.duration

    def beat_at(self, onset: Fraction) -> Fraction:
        """Gives the beat on which a moment of the bar falls, counted from 1.

        A short bar (pickup) is counted from its end, as musicians do.
        """
        missing = self.meter.length - self.duration if self.number == 0 else Fraction(0)
        return (onset - self.onset + missing) / self.meter.beat + 1


@dataclass(frozen=True, slots=True)
class Passage:
    """The notes of a device, in one key.

    Attributes:
        keys: Changes of key as (onset, key); the first one is the key of the passage.
        bars: In order.
        voices: In the order RH, RH2, LH, LH2, those that exist.
        symbols: Chord symbols in order of onset.
        views: What was said of it, kept for whoever asks again; see `notes.remembered`.
    """

    keys: tuple[tuple[Fraction, Key], ...]
    bars: tuple[Bar, ...]
    voices: tuple[Voice, ...]
    symbols: tuple[Symbol, ...] = ()
    views: dict[object, object] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __reduce__(self) -> tuple[object, ...]:
        """Leaves behind what follows from the rest."""
        return Passage, (self.keys, self.bars, self.voices, self.symbols)

    @property
    def key(self) -> Key:
        """The key at the start."""
        return self.keys[0][1]

    @property
    def meter(self) -> Meter:
        """The time signature at the start."""
        return self.bars[0].meter

    @property
    def end(self) -> Fraction:
        """Where the last bar ends."""
        return self.bars[-1].end

    @property
    def hands(self) -> tuple[Hand, ...]:
        """The hands that play, right before left."""
        return tuple(hand for hand in Hand if any(voice.hand is hand for voice in self.voices))

    def voice(self, name: str) -> Voice | None:
        """Gives a voice by name, or None."""
        return next((voice for voice in self.voices if voice.name == name), None)

    def bar_at(self, onset: Fraction) -> Bar:
        """Gives the bar in which a moment falls; moments outside fall into the nearest bar."""
        for bar in self.bars:
            if onset < bar.end:
                return bar
        return self.bars[-1]

    def chord_at(self, onset: Fraction) -> Symbol | None:
        """Gives the chord symbol that holds at a moment.

        Notes before the first symbol belong to it.
        """
        holding = self.symbols[0] if self.symbols else None
        for symbol in self.symbols:
            if symbol.onset > onset:
                break
            holding = symbol
        return holding
