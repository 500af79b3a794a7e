"""What several kinds of pages show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from transposary.glossary import BarRange
from transposary.notes import remembered
from transposary.passage import Chord, Feel, Hand, Key, Passage, Symbol
from transposary.pitch import pretty
from transposary.problems import Problem, Severity
from transposary.site.edition import Edition
from transposary.site.links import Link
from transposary.site.page import Figure, Remark
from transposary.site.worked import AsPlayed, InKey, Worked
from transposary.theory.chords import pretty_chord
from transposary.theory.hands import HANDS
from transposary.theory.keys import pretty_key, slot_of
from transposary.theory.parts import moves_of

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_NUMBERS = {1: "an octave", 2: "two octaves", 3: "three octaves"}


def feel_words(feel: Feel) -> str:
    """Says how off-beats are played: `swing`, `swing 16ths`."""
    return str(feel.kind) if feel.unit == 8 else f"{feel.kind}, {feel.unit}ths"


def chord_words(chord: Chord | None) -> str:
    """Writes a chord symbol for readers."""
    return "N.C." if chord is None else pretty_chord(chord)


def bars_words(bars: BarRange) -> str:
    """Writes bars for readers: `bar 5`, `bars 5–6`, `section B, bars 3–4`."""
    count = f"bar {bars.first}" if bars.first == bars.last else f"bars {bars.first}–{bars.last}"
    return count if bars.section is None else f"section {bars.section}, {count}"


def again_words(own: BarRange, spans: Sequence[BarRange]) -> str:
    """Says where bars of a section come in the performance, without those that are called the same.

    `bars 9–10, 21–22`; `again as bars 18–19`; nothing where all of it is said already.
    """
    others = [span for span in spans if (span.first, span.last) != (own.first, own.last)]
    if not others:
        return ""
    noun = "bar" if len(others) == 1 and others[0].first == others[0].last else "bars"
    again = "again as " if len(others) < len(spans) else ""
    return f"{again}{noun} {', '.join(str(span) for span in others)}"


def octave_notes(octaves: Iterable[tuple[Hand, int]]) -> tuple[str, ...]:
    """Says which hands left the register of the others: `The left hand is an octave higher.`."""
    moved = [(f"The {HANDS[hand]} is", count) for hand, count in octaves if count]
    if len(moved) > 1 and len({count for _, count in moved}) == 1:
        moved = [("Both hands are", moved[0][1])]
    return tuple(
        f"{who} {_NUMBERS.get(abs(count), f'{abs(count)} octaves')} "
        f"{'higher' if count > 0 else 'lower'} here than in the keys around it."
        for who, count in moved
    )


def day_words(day: date) -> str:
    """Writes a day for readers: `28 April 2026`."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_day(day: date, *, year: bool) -> str:
    """Writes a day for a cell of a table: `28 Apr` or `28 Apr 2026`."""
    return f"{day.day} {_MONTHS[day.month - 1][:3]}{f' {day.year}' if year else ''}"


@dataclass(frozen=True, slots=True)
class ChordText:
    """A chord symbol that scripts can move.

    Attributes:
        symbol: `B♭7`, or `%` for a bar that repeats the one before.
        root: Place of the root on the line of fifths, or None where there is no chord.
        bass: The same of a bass that is not the root, else None.
    """

    symbol: str
    root: int | None = None
    bass: int | None = None


BarsOfChords = tuple[tuple[ChordText, ...], ...]
_SAME = (ChordText("%"),)


def chord_text(chord: Chord | None) -> ChordText:
    """Writes a chord symbol, and says where it lies on the line of fifths."""
    if chord is None:
        return ChordText(chord_words(None))
    bass = None if chord.bass is None else chord.bass.fifths
    return ChordText(chord_words(chord), chord.root.fifths, bass)


@remembered
def chords_by_bar(passage: Passage) -> BarsOfChords:
    """Lists the chords of a passage bar by bar: `G7 | % | C7`.

    Bars at the end without a new chord are left out.
    """
    bars = [tuple(chord_text(one.chord) for one in symbols) for _, symbols in symbols_by_bar(passage)]
    while bars and not bars[-1]:
        bars.pop()
    return tuple(bar or _SAME for bar in bars)


def part_moves(key: Key, tonics: Mapping[str, str]) -> tuple[int, ...]:
    """Gives what 0 to 11 semitones up add to names in a key, on the line of fifths."""
    return tuple(move.fifths for move in moves_of(key, tonics))


def symbols_by_bar(passage: Passage) -> tuple[tuple[int, tuple[Symbol, ...]], ...]:
    """Sorts the chord symbols into bars by number; a divided bar counts once."""
    numbers = dict.fromkeys(bar.number for bar in passage.bars)
    found = [(number, tuple(s for s in passage.symbols if s.bar == number)) for number in numbers]
    return tuple((number, symbols) for number, symbols in found if symbols or number > 0)


def key_words(worked: Worked, key: Key) -> str:
    """Names a key, and that in which a device is engraved there where it is spelled otherwise."""
    there = worked.in_slot(slot_of(key.tonic))
    if there.placement.key.tonic == key.tonic:
        return pretty_key(key)
    return f"{pretty_key(key)} (engraved in {there.name})"


def figure_in_key(worked: Worked, key: InKey, anchor: str) -> Figure:
    """Describes the engraving of a device in a key."""
    slug = worked.device.slug
    return Figure(
        device=slug,
        name=key.slot,
        anchor=anchor,
        tonic=key.tonic,
        title=key.name,
        home=key is worked.home,
        notes=octave_notes(key.placement.octaves),
        files=(
            Link("MIDI", f"devices/{slug}/{key.slot}.mid"),
            Link("MusicXML", f"devices/{slug}/{key.slot}.musicxml"),
        ),
    )


def figure_as_played(worked: Worked, played: AsPlayed) -> Figure:
    """Describes the engraving of a version as played."""
    what = "The device and, below it, as played" if played.together else "As played"
    return _bare_figure(worked, played.figure, what, played.passage.key)


def figure_compared(worked: Worked, played: AsPlayed) -> Figure:
    """Describes the engraving of the device itself in the key of a version, to stand over that."""
    return _bare_figure(worked, played.own_figure, "The device", played.own.key)


def _bare_figure(worked: Worked, name: str, what: str, key: Key) -> Figure:
    return Figure(
        device=worked.device.slug,
        name=name,
        anchor=name,
        tonic=pretty(str(key.tonic)),
        title=f"{what}, in {pretty_key(key)}",
        home=False,
        notes=(),
        files=(),
    )


def remarks(edition: Edition, files: Iterable[str]) -> tuple[Remark, ...]:
    """Lists the problems found in some files, as a page shows them.

    An author sees them as the build prints them; other readers only remarks about the music,
    without the place in a file and without the advice to the author.
    """
    wanted = (one for file in set(files) for one in edition.problems_in.get(file, ()))
    found = [problem for _, problem in sorted(wanted, key=lambda one: one[0])]
    if edition.preview:
        return tuple(remark_in_full(problem) for problem in found)
    return tuple(
        Remark(str(p.severity), f"{p.text[:1].upper()}{p.text[1:]}.")
        for p in found
        if p.severity is Severity.REMARK and p.rule.startswith("theory.")
    )


def remark_in_full(problem: Problem) -> Remark:
    """Shows a problem to the author."""
    return Remark(str(problem.severity), str(problem))
