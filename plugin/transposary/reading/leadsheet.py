"""A lead sheet as a chart: the chord symbols of a MusicXML score, bar by bar.

Melody, words and looks are left to the score. What changes the order of the bars is followed
(repeats, first and second endings) or refused by name (D.C. and D.S.).

Source of the names: MusicXML 4.0 (W3C Music Notation Community Group, 2021).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from xml.etree import ElementTree as ET

from transposary.passage import Chord, Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.problems import Fault
from transposary.reading.score.container import unpack
from transposary.reading.score.harmonies import Change, chord_of
from transposary.song import ChartBar, ChartChord

MOST_BARS = 500
"""Bars that a lead sheet may have."""

_JUMPS = ("dacapo", "dalsegno", "tocoda")
_MODES = {"ionian": Mode.MAJOR, "aeolian": Mode.MINOR, **{mode.value: mode for mode in Mode}}
_HINT = "write the chart in the entry, with its sections and form"


@dataclass(frozen=True, slots=True)
class LeadSheet:
    """The chart of a score.

    Attributes:
        bars: Its bars.
        pickup: The bar that leads in, or None.
    """

    bars: tuple[ChartBar, ...]
    pickup: ChartBar | None


def read_lead_sheet(data: bytes, filename: str, key: Key) -> LeadSheet | Fault:
    """Reads the bytes of a `.musicxml`, `.xml` or `.mxl` file.

    Args:
        data: The file's bytes.
        filename: Its name, for its kind.
        key: The key of the song. Signatures of lead sheets are often left out, so the author's
            word counts until the score changes its own.

    A chord holds until the next one, over barlines too; before the first one there is none.

    Returns:
        The chart, or why there is none.
    """
    text = unpack(data, filename)
    if isinstance(text, Fault):
        return text
    if "<!ENTITY" in text:
        return Fault(0, "the score declares entities", "export it again")
    try:
        root = ET.fromstring(text)  # noqa: S314  # its size is bounded, and entities are refused
    except ET.ParseError as error:
        return Fault(0, f"the score is no well-formed XML: {error}", "export it again")
    parts = [part for part in root.findall("part") if part.find("measure") is not None]
    if root.tag != "score-partwise" or not parts:
        return Fault(0, f"expected partwise MusicXML, found {root.tag}", "export it again")
    part = next((part for part in parts if part.find("measure/harmony") is not None), parts[0])
    return _chart(part.findall("measure"), key)


def _chart(measures: Sequence[ET.Element], key: Key) -> LeadSheet | Fault:
    if len(measures) > MOST_BARS:
        return Fault(0, f"expected a lead sheet of at most {MOST_BARS} bars, found {len(measures)}", _HINT)
    reader = _Reader(Meter(4, 4), key)
    bars: list[ChartBar] = []
    for measure in measures:
        bar = reader.read(measure)
        if isinstance(bar, Fault):
            return replace(bar, text=f"bar {measure.get('number', len(bars) + 1)}: {bar.text}")
        bars.append(bar)
    if reader.chord is None:
        return Fault(0, "expected a score with chord symbols, found none", _HINT)
    first = bars[0]
    if sum(one.length for one in first.chords) < first.meter.length:
        return LeadSheet(tuple(bars[1:]), first)
    return LeadSheet(tuple(bars), None)


@dataclass(slots=True)
class _Reader:
    """Reads measures in order, and keeps what holds on from one to the next."""

    meter: Meter
    key: Key
    divisions: int = 1
    bars: int = 0
    signature: int = 0
    chord: Chord | None = None
    at: Fraction = Fraction(0)
    longest: Fraction = Fraction(0)
    starts: list[tuple[Fraction, Chord | None]] = field(default_factory=list)

    def read(self, measure: ET.Element) -> ChartBar | Fault:
        """Reads one measure."""
        self.at = self.longest = Fraction(0)
        self.starts = [(self.at, self.chord)]
        for element in measure:
            fault = self._element(element)
            if fault:
                return fault
            self.longest = max(self.longest, self.at)
        self.bars += 1
        length = min(self.longest, self.meter.length) or self.meter.length
        number = measure.get("number")
        short = self.meter.length - length if number == "0" or measure.get("implicit") == "yes" else 0
        chords = tuple(self._spread(length, short / self.meter.beat + 1))
        begun, ended, ending = _signs(measure)
        times = {repeat.get("times", "2") for repeat in measure.findall("barline/repeat")}
        if ending not in ("", "1", "2") or times - {"2"}:
            return Fault(0, "a bar is played more than twice over, which is not read", _HINT)
        return ChartBar(chords, self.meter, self.key, repeat_begun=begun, repeat_ended=ended, ending=ending)

    def _element(self, element: ET.Element) -> Fault | None:
        match element.tag:
            case "attributes":
                return self._attributes(element)
            case "note" if element.find("grace") is None and element.find("chord") is None:
                self.at += self._quarters(element.findtext("duration"))
            case "forward":
                self.at += self._quarters(element.findtext("duration"))
            case "backup":
                self.at -= self._quarters(element.findtext("duration"))
            case "harmony":
                return self._harmony(element)
            case "direction" | "sound":
                return _check_jump(element)
        return None

    def _quarters(self, text: str | None) -> Fraction:
        return Fraction(_whole(text) or 0, self.divisions)

    def _attributes(self, element: ET.Element) -> Fault | None:
        self.divisions = max(1, _whole(element.findtext("divisions")) or self.divisions)
        fifths, mode = _whole(element.findtext("key/fifths")), element.findtext("key/mode", "major")
        if self.bars and fifths is not None and abs(fifths) <= 7 and fifths != self.signature:
            named = _MODES.get(mode.strip(), Mode.MAJOR)
            self.key = Key(NoteName(fifths - named.fifths), named)
        self.signature = self.signature if fifths is None else fifths
        count, unit = _whole(element.findtext("time/beats")), _whole(element.findtext("time/beat-type"))
        if element.find("time") is not None:
            if not count or unit not in (1, 2, 4, 8, 16, 32) or not 1 <= count <= 32:
                return Fault(0, "the meter is not read", "give it one upper and one lower number")
            self.meter = Meter(count, unit)
        return None

    def _harmony(self, element: ET.Element) -> Fault | None:
        chord = _chord(element)
        if isinstance(chord, Fault):
            return chord
        onset = self.at + Fraction(_whole(element.findtext("offset")) or 0, self.divisions)
        self.starts = [start for start in self.starts if start[0] < onset]
        self.starts.append((max(onset, Fraction(0)), chord))
        self.chord = chord
        return None

    def _spread(self, length: Fraction, first: Fraction) -> Iterator[ChartChord]:
        """Gives each chord the time up to the next one."""
        starts = [start for start in self.starts if start[0] < length]
        ends = [onset for onset, _ in starts[1:]] + [length]
        for (onset, chord), end in zip(starts, ends, strict=True):
            yield ChartChord(first + onset / self.meter.beat, end - onset, chord)


def _whole(text: str | None) -> int | None:
    bare = (text or "").strip()
    return int(bare) if len(bare) < 10 and bare.lstrip("-").isdecimal() and bare.count("-") <= 1 else None


def _name(element: ET.Element, kind: str) -> NoteName | None:
    step = element.findtext(f"{kind}/{kind}-step", "").strip()
    alter = _whole(element.findtext(f"{kind}/{kind}-alter")) or 0
    if len(step) != 1 or step not in "ABCDEFG" or abs(alter) > 2:
        return None
    return NoteName(NoteName.parse(step).fifths + 7 * alter)


def _chord(element: ET.Element) -> Chord | Fault | None:
    kind = element.find("kind")
    name = (kind.text or "").strip() if kind is not None else ""
    if name == "none":
        return None
    root = _name(element, "root")
    if kind is None or root is None:
        return Fault(0, "a chord symbol without a root is not read", "write it as a chord symbol")
    bass = _name(element, "bass")
    changes = [
        Change(
            one.findtext("degree-type", "").strip(),
            _whole(one.findtext("degree-value")) or 0,
            _whole(one.findtext("degree-alter")) or 0,
        )
        for one in element.findall("degree")
    ]
    # Our degrees go from 1 to 13; others would only be guessed at.
    types = ("add", "alter", "subtract")
    if any(change.type not in types or not 1 <= change.number <= 13 for change in changes):
        return Fault(0, f"the degrees of the chord on {root} are not read", "write it as a chord symbol")
    return chord_of(root, bass, name, kind.get("text"), changes)


def _check_jump(element: ET.Element) -> Fault | None:
    sounds = [element] if element.tag == "sound" else element.findall("sound")
    for sound in sounds:
        for jump in _JUMPS:
            if sound.get(jump) is not None:
                return Fault(0, f"the score jumps ({jump}), which is not read", _HINT)
    return None


def _signs(measure: ET.Element) -> tuple[bool, bool, str]:
    """Tells whether a repeat begins and whether one ends, and which ending begins."""
    repeats = {repeat.get("direction") for repeat in measure.findall("barline/repeat")}
    brackets = measure.findall("barline/ending")
    endings = [one.get("number", "") for one in brackets if one.get("type") == "start"]
    return "forward" in repeats, "backward" in repeats, endings[0].strip() if endings else ""
