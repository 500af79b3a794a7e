"""Bars as MusicXML `measure` elements: attributes, chord symbols, voices and barlines.

Source: MusicXML 4.0 XSD, element measure and complex types attributes and barline.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from transposary.engraving.frames import key_gap, symbol_gap
from transposary.engraving.harmony import harmony_around
from transposary.engraving.lines import Line, Written
from transposary.engraving.notation import Sheet, note_elements
from transposary.engraving.values import beat_value
from transposary.passage import Bar, Clef, Meter
from transposary.pitch import Interval

_CLEFS = {Clef.TREBLE: ("G", 2), Clef.BASS: ("F", 4), Clef.ALTO: ("C", 3), Clef.TENOR: ("C", 4)}
_SIGNS = {"C": ' symbol="common"', "C|": ' symbol="cut"'}


def measure_element(sheet: Sheet, place: int) -> Iterator[str]:
    """Writes one bar; the first bar has place 0."""
    bars = sheet.passage.bars
    bar = bars[place]
    again = place > 0 and bars[place - 1].number == bar.number
    number = f"X{bar.number}" if again else str(bar.number)
    implicit = ' implicit="yes"' if again or bar.number == 0 else ""
    yield f'<measure number="{number}"{implicit}>'
    yield _left_barline(bar)
    yield _opening_attributes(sheet, place)
    if place == 0 and sheet.tempo is not None:
        yield _metronome(bar.meter, sheet.tempo)
    for turn, line in enumerate(sheet.layout):
        yield f"<backup><duration>{sheet.ticks(bar.duration)}</duration></backup>" if turn else ""
        yield from _voice(sheet, line, place)
    yield _right_barline(bars, place)
    yield "</measure>"


def _voice(sheet: Sheet, line: Line, place: int) -> Iterator[str]:
    bar = sheet.passage.bars[place]
    stem = _stem(sheet.layout, line, place)
    lead = line is sheet.layout[0]
    symbols = [
        (number, symbol)
        for number, symbol in enumerate(sheet.passage.symbols)
        if lead and bar.onset <= symbol.onset < bar.end
    ]
    clefs = [change for change in line.voice.clefs[1:] if line.upper and bar.onset < change[0] < bar.end]
    for one in line.bars[place]:
        while clefs and clefs[0][0] <= one.onset:
            yield f"<attributes>{_clef(sheet, line, clefs.pop(0)[1])}</attributes>"
        while symbols and symbols[0][1].onset < one.onset + one.duration:
            number, symbol = symbols.pop(0)
            yield harmony_around(symbol_gap(number), offset=sheet.ticks(symbol.onset - one.onset))
        yield from note_elements(sheet, line, one, stem)


def _stem(layout: Sequence[Line], line: Line, place: int) -> str:
    """Turns stems apart where both voices of a hand sound."""
    for other in layout:
        if other is not line and other.staff == line.staff and _sounds(other.bars[place]):
            return "up" if line.upper else "down"
    return ""


def _sounds(written: Sequence[Written]) -> bool:
    return any(one.event.heads for one in written)


def _opening_attributes(sheet: Sheet, place: int) -> str:
    """Writes what the start of a bar sets: everything in the first, only what is new later."""
    bars = sheet.passage.bars
    bar = bars[place]
    first = place == 0
    keys = [number for number, (onset, _) in enumerate(sheet.passage.keys) if onset == bar.onset]
    content = "".join(
        (
            f"<divisions>{sheet.divisions}</divisions>" if first else "",
            key_gap(keys[-1]) if keys else "",
            _time(bar.meter) if first or bars[place - 1].meter != bar.meter else "",
            "<staves>2</staves>" if first and len(sheet.passage.hands) > 1 else "",
            *(
                _clef(sheet, line, clef)
                for line in sheet.layout
                if line.upper and (clef := _clef_at(line, bar, first=first)) is not None
            ),
            _transpose(sheet.sounds) if first and sheet.sounds is not None else "",
        )
    )
    return f"<attributes>{content}</attributes>" if content else ""


def _clef_at(line: Line, bar: Bar, *, first: bool) -> Clef | None:
    if first:
        return line.voice.clefs[0][1]
    found = [clef for onset, clef in line.voice.clefs[1:] if onset == bar.onset]
    return found[-1] if found else None


def _time(meter: Meter) -> str:
    sign = _SIGNS.get(meter.symbol, "")
    return f"<time{sign}><beats>{meter.count}</beats><beat-type>{meter.unit}</beat-type></time>"


def _clef(sheet: Sheet, line: Line, clef: Clef) -> str:
    number = f' number="{line.staff}"' if len(sheet.passage.hands) > 1 else ""
    sign, position = _CLEFS[clef]
    return f"<clef{number}><sign>{sign}</sign><line>{position}</line></clef>"


def _transpose(sounds: Interval) -> str:
    """Writes what is added to a written pitch; whole octaves stand by themselves."""
    octaves = int(sounds.semitones / 12)
    change = f"<octave-change>{octaves}</octave-change>" if octaves else ""
    return (
        f"<transpose><diatonic>{sounds.steps - 7 * octaves}</diatonic>"
        f"<chromatic>{sounds.semitones - 12 * octaves}</chromatic>{change}</transpose>"
    )


def _metronome(meter: Meter, tempo: int) -> str:
    unit = beat_value(meter)
    quarters = tempo * meter.beat
    sound = f'<sound tempo="{float(quarters):g}"/>'
    dots = "<beat-unit-dot/>" * unit.dots
    return (
        '<direction placement="above"><direction-type><metronome>'
        f"<beat-unit>{unit.name}</beat-unit>{dots}<per-minute>{tempo}</per-minute>"
        f"</metronome></direction-type>{sound}</direction>"
    )


def _left_barline(bar: Bar) -> str:
    ending = f'<ending number="{bar.ending}" type="start"/>' if bar.ending else ""
    style = "<bar-style>heavy-light</bar-style>" if bar.repeat_begun else ""
    repeat = '<repeat direction="forward"/>' if bar.repeat_begun else ""
    content = style + ending + repeat
    return f'<barline location="left">{content}</barline>' if content else ""


def _right_barline(bars: Sequence[Bar], place: int) -> str:
    bar = bars[place]
    if bar.repeat_ended or place == len(bars) - 1:
        style = "<bar-style>light-heavy</bar-style>"
    else:
        style = "<bar-style>light-light</bar-style>" if bar.double else ""
    repeat = '<repeat direction="backward"/>' if bar.repeat_ended else ""
    content = style + _ending_closed(bars, place) + repeat
    return f'<barline location="right">{content}</barline>' if content else ""


def _ending_closed(bars: Sequence[Bar], place: int) -> str:
    """Ends the bracket of an ending: with a jog where it closes, open where the next one begins."""
    number = _ending_over(bars[: place + 1])
    if bars[place].ending_closed and number:
        return f'<ending number="{number}" type="stop"/>'
    if number and (place == len(bars) - 1 or bars[place + 1].ending):
        return f'<ending number="{number}" type="discontinue"/>'
    return ""


def _ending_over(bars: Sequence[Bar]) -> str:
    """Gives the number of the ending whose bracket runs over the last of the bars, or nothing."""
    for place, bar in enumerate(reversed(bars)):
        if place and bar.ending_closed:
            return ""
        if bar.ending:
            return bar.ending
    return ""
