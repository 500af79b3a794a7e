"""Why a device fits at a place, and what has to change there, in words."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from transposary.glossary import Device
from transposary.pitch import pretty
from transposary.repertoire.judging import Judged, Verdict, added_chords
from transposary.repertoire.likeness import ADMITTED, FAMILY, SAME
from transposary.repertoire.matching import Match
from transposary.repertoire.patterns import own_pattern
from transposary.repertoire.performance import Span
from transposary.theory.beats import name_place
from transposary.theory.chords import pretty_chord
from transposary.theory.keys import pretty_key
from transposary.theory.numerals import pretty_numeral
from transposary.theory.transposition import chord_in

_PLACES = {1: "second", 2: "third", 3: "fourth", 4: "fifth", 5: "sixth"}
_SIZES = {
    Fraction(1, 2): "half a beat",
    Fraction(1): "a beat",
    Fraction(2): "two beats",
    Fraction(3): "three beats",
}


def adaptations(device: Device, match: Match) -> tuple[str, ...]:
    """Lists what a player has to change at a place."""
    found: list[str] = []
    if match.speed != 1:
        found.append("twice as fast" if match.speed < 1 else "half as fast")
    song = match.performance.song
    bar = match.performance.bar_at(match.start).bar
    if match.displaced:
        found.append(f"begins on beat {_beat(match, match.start)}")
    if match.cut:
        found.append("the last chord is shorter")
    found += [_unevenness(at, longer / bar.meter.beat) for at, longer in match.uneven]
    if device.passage.meter != bar.meter:
        found.append(f"in {bar.meter} in place of {device.passage.meter}")
    if device.feel != song.feel:
        found.append(f"{song.feel} in place of {device.feel}")
    found += dict.fromkeys(one.name for one in match.alike if one.root_moves)
    return tuple(found)


def reason(device: Device, match: Match, judged: Sequence[Judged]) -> str:
    """Says why a device fits: `bars 5–6, G7 to C7: I7 to IV7 of G; same chords; A passes`."""
    first = match.performance.bar_at(match.start).number
    last = match.performance.bar_at(max(match.start, match.end - Fraction(1, 8))).number
    bars = f"bar {first}" if first == last else f"bars {first}–{last}"
    shown = " to ".join(_shown(span) for span in match.spans)
    wanted = " to ".join(pretty_numeral(step.numeral) for step in match.pattern.steps)
    parts = [f"{bars}, {shown}: {wanted} of {pretty(str(match.tonic))}", _alike(match)]
    parts += [f"{_shown(span, ' and ')} count as one chord" for span in match.stepped]
    if match.local is not None:
        parts.insert(1, f"where the song turns to {pretty_key(match.local)}")
    parts += _notes(judged, compound=match.performance.bar_at(match.start).bar.meter.compound)
    parts += _added(device, match)
    return "; ".join(parts)


def _shown(span: Span, joint: str = " ") -> str:
    rows = span.inside or (span.harmony,)
    return joint.join(dict.fromkeys(pretty_chord(row.chord) for row in rows if row is not None))


def _unevenness(at: int, beats: Fraction) -> str:
    """Says `the second chord lasts two beats longer`."""
    place = _PLACES.get(at, f"{at + 1}th")
    count = abs(beats)
    size = _SIZES.get(count, f"{count} beats" if count > 1 else f"{count} of a beat")
    return f"the {place} chord {f'lasts {size} longer' if beats > 0 else f'is {size} shorter'}"


def _beat(match: Match, moment: Fraction) -> str:
    compound = match.performance.bar_at(moment).bar.meter.compound
    return name_place(match.performance.beat_at(moment), compound=compound)


def _alike(match: Match) -> str:
    if all(one == SAME for one in match.alike):
        return "same chords" if len(match.alike) > 1 else "same chord"
    granted = dict.fromkeys(one.name for one in match.alike if one not in (SAME, ADMITTED, FAMILY))
    if granted:
        return ", ".join(granted)
    if any(one == FAMILY for one in match.alike):
        return "same roots and families"
    return "the plain chords admit the sevenths"


def _notes(judged: Sequence[Judged], *, compound: bool) -> list[str]:
    if all(one.verdict is Verdict.CHORD_TONE for one in judged):
        return ["every note belongs to its chord"]
    found = []
    passing = _names(judged, Verdict.PASSING)
    if passing:
        found.append(f"{passing} only {'pass' if ' ' in passing else 'passes'}")
    tensions = _names(judged, Verdict.TENSION)
    if tensions:
        over = {one.chord for one in judged if one.verdict is Verdict.TENSION}
        verb = "colour" if " " in tensions else "colours"
        found.append(f"{tensions} {verb} the {'chord' if len(over) == 1 else 'chords'}")
    return [*found, *clashes(judged, compound=compound)]


def clashes(judged: Sequence[Judged], *, compound: bool) -> tuple[str, ...]:
    """Names the clashes, the heaviest first: `A clashes with G7 on beat 3`.

    Args:
        judged: The notes at their place.
        compound: Whether the meter there counts beats of three.
    """
    return tuple(
        f"{pretty(str(one.name))} clashes with {pretty_chord(one.chord)} "
        f"on beat {name_place(one.beat, compound=compound)}"
        for one in _clashes(judged)
        if one.chord is not None
    )


def _names(judged: Sequence[Judged], verdict: Verdict) -> str:
    names = list(dict.fromkeys(pretty(str(one.name)) for one in judged if one.verdict is verdict))
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def _clashes(judged: Sequence[Judged]) -> list[Judged]:
    """The clashes, each note over each chord once, the heaviest first."""
    found = sorted((one for one in judged if one.verdict is Verdict.CLASH), key=lambda one: -one.weight)
    return list({(one.name, one.chord): one for one in reversed(found)}.values())[::-1][:3]


def _added(device: Device, match: Match) -> list[str]:
    if match.pattern == own_pattern(device):
        return []
    added = [chord_in(chord, device.passage.key.tonic, match.tonic) for chord in added_chords(device)]
    if not added:
        return []
    return [f"the device adds {' and '.join(pretty_chord(chord) for chord in added)}"]
