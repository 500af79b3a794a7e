"""Where a device was played: the chart there against the chords that the device wants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from transposary.glossary import AppliedIn, Device, Frame, Glossary
from transposary.passage import Chord, Key
from transposary.pitch import NoteName
from transposary.problems import Problem
from transposary.repertoire.matching import compare
from transposary.repertoire.patterns import Pattern, own_pattern, patterns_of
from transposary.repertoire.performance import Span, harmonies, in_one
from transposary.repertoire.places import Run, has_bars, runs_of
from transposary.song import Song
from transposary.theory.keys import pretty_key
from transposary.theory.numerals import Numeral, realise
from transposary.theory.regions import Harmony
from transposary.theory.transposition import chord_in


@dataclass(frozen=True, slots=True)
class _Chart:
    """The chords of the bars, in the key in which they were played."""

    chords: tuple[Chord, ...]
    tonics: tuple[NoteName, ...]


def check_applied_chords(device: Device, glossary: Glossary) -> tuple[Problem, ...]:
    """Finds bars whose chords are not those that the device wants, where nobody says what changed."""
    return tuple(
        problem
        for applied in device.applied_in
        if not applied.changed and applied.notation is None
        for song in [glossary.song.get(applied.song.slug or "")]
        if song is not None and has_bars(song, applied.bars)
        for problem in _check(device, applied, song)
    )


def other_key(applied: AppliedIn, song: Song) -> str:
    """Says that the band did not play in the song's key, or nothing."""
    runs = runs_of(song, applied.bars)
    if applied.key is None or not runs:
        return ""
    written = runs[0][0].bar.key
    same = applied.key.tonic.pitch_class == written.tonic.pitch_class
    return "" if same else f"the chart is in {pretty_key(written)}"


def _check(device: Device, applied: AppliedIn, song: Song) -> Iterator[Problem]:
    charts = _charts(device, applied, song)
    patterns = [*patterns_of(device), own_pattern(device)]
    if not charts or not any(pattern.steps for pattern in patterns):
        return
    if any(_holds(chart, pattern) for chart in charts for pattern in patterns if pattern.steps):
        return
    key = applied.key or song.key
    found = _words(charts[0].chords)
    wanted = " or ".join(_wanted(patterns_of(device), key))
    yield Problem(
        applied.bars.place,
        "repertoire.applied",
        f"expected the chords of the device in {key}, {wanted}, found {found} in {song.title}, "
        f"{_bars(applied)}",
        "mend the bars or the key, say in `changed:` what was different, or give the notation as played",
    )


def _bars(applied: AppliedIn) -> str:
    noun = "bar" if applied.bars.first == applied.bars.last else "bars"
    count = str(applied.bars).rpartition(" ")[2]
    section = applied.bars.section
    return f"{noun} {count}" if section is None else f"section {section}, {noun} {count}"


def _words(chords: Sequence[Chord]) -> str:
    return " ".join(map(str, chords)) or "no chord"


def _wanted(patterns: Sequence[Pattern], key: Key) -> Iterator[str]:
    for pattern in patterns:
        yield _words([realise(step.numeral, key) for step in pattern.steps])


def _charts(device: Device, applied: AppliedIn, song: Song) -> list[_Chart]:
    """Gives the chords as the band may have played them, the likelier reading first.

    The key is that of the band, who then moved the whole chart; or the device stands in it over
    the chart as written. A device that hangs on no key may stand on any tonic. A chord in
    two steps may count as one.
    """
    rows = {bar.number: row for bar, row in zip(song.played, harmonies(song), strict=True)}
    charts = []
    for run, row in _rows(runs_of(song, applied.bars), rows):
        written = run[0].bar.key.tonic
        chords = _merged([one.chord for one in row])
        if applied.key is None:
            charts.append(_Chart(chords, _tonics(device, row, written, chords)))
            continue
        played = tuple(chord_in(chord, written, applied.key.tonic) for chord in chords)
        charts.append(_Chart(played, _tonics(device, (), applied.key.tonic, played)))
        charts.append(_Chart(chords, (applied.key.tonic,)))
    return charts


def _rows(
    runs: Sequence[Run], rows: Mapping[int, Sequence[Harmony | None]]
) -> Iterator[tuple[Run, tuple[Harmony, ...]]]:
    for run in runs:
        row = tuple(one for bar in run for one in rows[bar.number] if one is not None)
        yield run, row
        # How long a chord lasts does not matter here.
        stepped = in_one(tuple(Span(one, Fraction(0), Fraction(0)) for one in row))
        if len(stepped) < len(row):
            yield run, tuple(span.harmony for span in stepped if span.harmony is not None)


def _tonics(
    device: Device, row: Sequence[Harmony], tonic: NoteName, chords: Sequence[Chord]
) -> tuple[NoteName, ...]:
    if device.frame is Frame.KEY:
        return (tonic, *dict.fromkeys(one.local.tonic for one in row if one.local is not None))
    firsts = [
        pattern.steps[0].numeral for pattern in (*patterns_of(device), own_pattern(device)) if pattern.steps
    ]
    return tuple(dict.fromkeys(_below(chord, first) for chord in chords for first in firsts))


def _below(chord: Chord, numeral: Numeral) -> NoteName:
    return NoteName(chord.root.fifths - numeral.root.fifths)


def _merged(chords: Sequence[Chord]) -> tuple[Chord, ...]:
    return tuple(chord for at, chord in enumerate(chords) if at == 0 or chord != chords[at - 1])


def _holds(chart: _Chart, pattern: Pattern) -> bool:
    size = len(pattern.steps)
    return any(
        compare(chart.chords[at : at + size], pattern.steps, tonic, minor=pattern.minor) is not None
        for at in range(len(chart.chords) - size + 1)
        for tonic in chart.tonics
    )
