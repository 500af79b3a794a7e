"""Bars as MusicXML `measure` elements: attributes, chord symbols, voices and barlines.

Source: MusicXML 4.0 XSD, element measure and complex types attributes and barline.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from transposary.engraving.harmony import harmony_element
from transposary.engraving.lines import Line, Written
from transposary.engraving.notation import Sheet, note_elements
from transposary.engraving.values import value_of
from transposary.passage import Bar, Clef, Key, Meter, Passage, Symbol

_CLEFS = {Clef.TREBLE: ("G", 2), Clef.BASS: ("F", 4), Clef.ALTO: ("C", 3), Clef.TENOR: ("C", 4)}
_SIGNS = {"C": ' symbol="common"', "C|": ' symbol="cut"'}


def measure_element(
    passage: Passage, sheet: Sheet, layout: Sequence[Line], place: int, tempo: int | None
) -> Iterator[str]:
    """Writes one bar.

    Args:
        passage: The passage.
        sheet: What its notes have to know.
        layout: Its voices as written.
        place: Which bar, from 0.
        tempo: Beats a minute to print above it, or None.
    """
    bar = passage.bars[place]
    again = place > 0 and passage.bars[place - 1].number == bar.number
    number = f"X{bar.number}" if again else str(bar.number)
    implicit = ' implicit="yes"' if again or bar.number == 0 else ""
    yield f'<measure number="{number}"{implicit}>'
    yield _left_barline(bar)
    yield _opening_attributes(passage, sheet, layout, place)
    if tempo is not None:
        yield _metronome(bar.meter, tempo)
    back = f"<backup><duration>{sheet.ticks(bar.duration)}</duration></backup>"
    for turn, line in enumerate(layout):
        yield back if turn else ""
        yield from _voice(passage, sheet, layout, line, place)
    yield _right_barline(passage, place)
    yield "</measure>"


def _voice(passage: Passage, sheet: Sheet, layout: Sequence[Line], line: Line, place: int) -> Iterator[str]:
    bar = passage.bars[place]
    written = line.bars[place]
    stem = _stem(layout, line, place)
    symbols = [s for s in passage.symbols if bar.onset <= s.onset < bar.end] if line is layout[0] else []
    changes = _changes_within(passage, line, bar, lead=line is layout[0])
    for one in written:
        end = one.onset + one.duration
        while changes and changes[0][0] <= one.onset:
            yield f"<attributes>{changes.pop(0)[1]}</attributes>"
        while symbols and symbols[0].onset < end:
            yield _harmony(sheet, symbols.pop(0), one)
        yield from note_elements(sheet, line, one, stem)


def _harmony(sheet: Sheet, symbol: Symbol, one: Written) -> str:
    # Verovio prints degrees although they are marked as not to be printed.
    offset = sheet.ticks(symbol.onset - one.onset)
    return harmony_element(symbol.chord, offset=offset, degrees=not sheet.note_ids)


def _stem(layout: Sequence[Line], line: Line, place: int) -> str:
    """Turns stems apart where both voices of a hand sound."""
    for other in layout:
        if other is not line and other.staff == line.staff and _sounds(other.bars[place]):
            return "up" if line.upper else "down"
    return ""


def _sounds(written: Sequence[Written]) -> bool:
    return any(one.event.heads for one in written)


def _opening_attributes(passage: Passage, sheet: Sheet, layout: Sequence[Line], place: int) -> str:
    """Writes what the start of a bar sets: everything in the first, only what is new later."""
    bar = passage.bars[place]
    first = place == 0
    keys = [key for onset, key in passage.keys if onset == bar.onset]
    key = passage.key if first else (keys[-1] if keys else None)
    changed = first or passage.bars[place - 1].meter != bar.meter
    clefs = [(line.staff, _clef_at(line, bar, first=first)) for line in layout if line.upper]
    many = len(passage.hands) > 1
    content = "".join(
        (
            f"<divisions>{sheet.divisions}</divisions>" if first else "",
            _key(key) if key is not None else "",
            _time(bar.meter) if changed else "",
            "<staves>2</staves>" if first and many else "",
            *(_clef(clef, staff if many else None) for staff, clef in clefs if clef is not None),
        )
    )
    return f"<attributes>{content}</attributes>" if content else ""


def _clef_at(line: Line, bar: Bar, *, first: bool) -> Clef | None:
    if first:
        return line.voice.clefs[0][1]
    found = [clef for onset, clef in line.voice.clefs[1:] if onset == bar.onset]
    return found[-1] if found else None


def _changes_within(passage: Passage, line: Line, bar: Bar, *, lead: bool) -> list[tuple[Fraction, str]]:
    """Lists changes of key (written with the first voice) and clef inside a bar."""
    keys = [(onset, _key(key)) for onset, key in passage.keys[1:] if lead and bar.onset < onset < bar.end]
    staff = line.staff if len(passage.hands) > 1 else None
    inside = [(o, clef) for o, clef in line.voice.clefs[1:] if line.upper and bar.onset < o < bar.end]
    return sorted(keys + [(onset, _clef(clef, staff)) for onset, clef in inside])


def _key(key: Key) -> str:
    return f"<key><fifths>{key.signature}</fifths><mode>{key.mode}</mode></key>"


def _time(meter: Meter) -> str:
    sign = _SIGNS.get(meter.symbol, "")
    return f"<time{sign}><beats>{meter.count}</beats><beat-type>{meter.unit}</beat-type></time>"


def _clef(clef: Clef, staff: int | None) -> str:
    number = "" if staff is None else f' number="{staff}"'
    sign, line = _CLEFS[clef]
    return f"<clef{number}><sign>{sign}</sign><line>{line}</line></clef>"


def _metronome(meter: Meter, tempo: int) -> str:
    unit = value_of(meter.beat)
    quarters = tempo * meter.beat
    sound = f'<sound tempo="{float(quarters):g}"/>'
    if unit is None:
        return f"<direction>{sound}</direction>"
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


def _right_barline(passage: Passage, place: int) -> str:
    bar = passage.bars[place]
    last = place == len(passage.bars) - 1
    if bar.repeat_ended or last:
        style = "<bar-style>light-heavy</bar-style>"
    else:
        style = "<bar-style>light-light</bar-style>" if bar.double else ""
    repeat = '<repeat direction="backward"/>' if bar.repeat_ended else ""
    content = style + _ending_closed(passage, place) + repeat
    return f'<barline location="right">{content}</barline>' if content else ""


def _ending_closed(passage: Passage, place: int) -> str:
    """Ends the bracket of an ending: with a jog where it closes, open where the next one begins."""
    number = next((bar.ending for bar in reversed(passage.bars[: place + 1]) if bar.ending), "")
    open_before = _open_ending(passage.bars[: place + 1])
    if not number or not open_before:
        return ""
    bar = passage.bars[place]
    if bar.ending_closed:
        return f'<ending number="{number}" type="stop"/>'
    following = passage.bars[place + 1 : place + 2]
    if not following or following[0].ending:
        return f'<ending number="{number}" type="discontinue"/>'
    return ""


def _open_ending(bars: Sequence[Bar]) -> bool:
    """Tells whether the bracket of an ending still runs over the last of the bars."""
    for place in range(len(bars) - 1, -1, -1):
        if place < len(bars) - 1 and bars[place].ending_closed:
            return False
        if bars[place].ending:
            return True
    return False
