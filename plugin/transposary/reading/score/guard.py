"""Says what a MusicXML text holds that a passage cannot carry, before anything reads its notes.

music21 passes over much of what it reads without a word. So every element stands in a table
here: as one that is carried, as one that only says how a score looks or is played back, or
it is refused by name. Entities are refused, depth and size are bounded.

Source of the names: MusicXML 4.0 (W3C Music Notation Community Group, 2021).
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from xml.parsers import expat

from transposary.reading.score.values import LEFT_OUT, Report

MAX_DEPTH = 40
MAX_NOTES = 2000
MAX_BARS = 500
_LOOKS = frozenset(
    (
        *("work", "movement-number", "movement-title", "identification", "defaults", "credit", "part-list"),
        *("print", "sound", "listening", "grouping", "link", "bookmark", "part-symbol", "instruments"),
        *("stem", "accidental", "instrument", "beam", "play", "cancel", "display-step", "display-octave"),
    )
)
"""Elements that say how a score looks, sounds or is filed; all that is in them is passed over."""
_CARRIED = {
    parent: frozenset(children.split())
    for parent, children in {
        "": "score-partwise",
        "score-partwise": "part",
        "part": "measure",
        "measure": "note backup forward attributes harmony barline",
        "note": "grace chord pitch rest duration tie voice type dot time-modification notehead staff "
        "notations",
        "pitch": "step alter octave",
        "rest": "",
        "time-modification": "actual-notes normal-notes normal-type normal-dot",
        "notations": "tied slur tuplet articulations technical",
        "tuplet": "tuplet-actual tuplet-normal",
        "tuplet-actual": "tuplet-number tuplet-type tuplet-dot",
        "tuplet-normal": "tuplet-number tuplet-type tuplet-dot",
        "articulations": "staccato accent",
        "technical": "fingering",
        "backup": "duration",
        "forward": "duration voice staff",
        "attributes": "divisions key time staves clef staff-details",
        "staff-details": "staff-lines staff-size staff-type",
        "key": "fifths mode",
        "time": "beats beat-type",
        "clef": "sign line clef-octave-change",
        "harmony": "root kind bass degree offset staff",
        "root": "root-step root-alter",
        "bass": "bass-step bass-alter bass-separator",
        "degree": "degree-value degree-alter degree-type",
        "barline": "bar-style repeat ending",
    }.items()
}
_DIRECTIONS = frozenset(("direction", "direction-type", "offset", "staff", "voice"))
_VALUES = {
    name: re.compile(pattern)
    for names, pattern in {
        "step root-step bass-step": "[A-G]",
        "octave": "[0-8]",
        "alter root-alter bass-alter degree-alter": "-?[0-2]",
        "degree-value": "[1-9]|1[0-3]",
        "degree-type": "add|alter|subtract",
        "divisions": "[1-9][0-9]{0,5}",
        "duration": "[0-9]{1,6}",
        "staff-lines": "5",
        "staff staves": "1|2",
        "type": "long|breve|whole|half|quarter|eighth|(16|64)th|(32|512)nd|(128|256|1024)th",
        "actual-notes normal-notes beats": "[1-9][0-9]?",
        "beat-type": "1|2|4|8|16|32",
        "fifths": "-?[0-7]",
        "mode": "major|minor|dorian|phrygian|lydian|mixolydian|aeolian|ionian|locrian|none",
        "sign": "[CFG]",
        "line": "[1-5]",
        "clef-octave-change": "0",
        "notehead": "(normal)?",
        "bar-style": "regular|light-light|light-heavy|heavy-light|heavy-heavy|none",
        "fingering": "[1-5]",
    }.items()
    for name in names.split()
}
"""What the text of an element must be."""
_REQUIRED = {
    "pitch": ("step", "octave"),
    "harmony": ("root", "kind"),
    "root": ("root-step",),
    "bass": ("bass-step",),
    "degree": ("degree-value", "degree-alter", "degree-type"),
    "key": ("fifths",),
    "time": ("beats", "beat-type"),
    "clef": ("sign",),
    "time-modification": ("actual-notes", "normal-notes"),
    "part": ("measure",),
    "score-partwise": ("part",),
}
"""Elements that say nothing without these others in them."""
_HINTS = {
    "metronome": "the tempo stands in the front matter: tempo: 92",
    "words": "put words into the prose",
    "lyric": "put words into the prose",
    "transpose": "write the score at concert pitch",
    "octave-shift": "write the notes at their own octave",
    "unpitched": "write pitched notes",
    "fingering": "write a finger, 1 to 5",
}
_WITHOUT_NOTES = frozenset(
    ("metronome", "words", "lyric", "dynamics", "wedge", "rehearsal", "pedal", "fermata")
)
"""What a passage leaves out without losing a note: a remark says so."""
_JUMPS = ("dacapo", "dalsegno", "segno", "coda", "tocoda", "fine")


class _TooMuch(Exception):  # noqa: N818 - no error of the program: it ends the reading of a text
    """The text goes beyond a bound."""


@dataclass(slots=True)
class _Watch:
    """Walks through the text and collects what it meets, each name with its first bar."""

    path: list[str] = field(default_factory=list)
    children: list[list[str]] = field(default_factory=list)
    bar: str = ""
    bars: int = 0
    notes: int = 0
    parts: int = 0
    passed_over: int = 0
    meters: int = 0
    hidden: bool = False
    fingers: int = 0
    ties: list[str] = field(default_factory=list)
    grace: bool = False
    duration: int = 0
    struck: int = 0
    cursor: int = 0
    text: str = ""
    refused: dict[str, str] = field(default_factory=dict)

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Takes in the beginning of an element."""
        parent = self.path[-1] if self.path else ""
        if self.children:
            self.children[-1].append(name)
        self.path.append(name)
        self.children.append([])
        self.text = ""
        self._count(name, attributes)
        if self.passed_over or name in _LOOKS:
            self.passed_over += 1
            if name in ("note", "measure"):
                self._refuse(f"{name} within {parent}")
            self._refuse_jumps(name, attributes)
        elif name in _DIRECTIONS and "direction" in self.path:
            return
        elif (parent in _DIRECTIONS and "direction" in self.path) or name not in _CARRIED.get(parent, ()):
            self._refuse(name)
            self.passed_over += 1
        else:
            self._attributes(name, attributes)

    def _attributes(self, name: str, attributes: dict[str, str]) -> None:
        """Looks at what an element that is carried says of itself."""
        if name == "tie":
            self.ties.append(attributes.get("type", ""))
        elif name == "ending" and attributes.get("number", "") not in ("1", "2"):
            self._refuse(f"ending {attributes.get('number', '')}")
        elif name == "beats" and self.meters > 1:
            self._refuse("meter of several parts")
        elif name == "fingering" and self.fingers > 1:
            self._refuse("several fingerings for one note")
        elif name == "pitch" and self.hidden:
            self._refuse("hidden note")
        elif name == "repeat" and attributes.get("times", "2") != "2":
            self._refuse(f"repeat {attributes['times']} times")

    def _count(self, name: str, attributes: dict[str, str]) -> None:
        if name == "measure":
            self.bar = attributes.get("number", "")
            self.bars += 1
            self.cursor = 0
        if name == "note":
            self.notes += 1
            self.hidden = attributes.get("print-object") == "no"
            self.fingers = 0
            self.ties = []
        self.fingers += name == "fingering"
        if name in ("time", "beats"):
            self.meters = 0 if name == "time" else self.meters + 1
        self.parts += name == "part"
        if len(self.path) > MAX_DEPTH:
            raise _TooMuch(f"elements stand within elements more than {MAX_DEPTH} deep")
        if self.notes > MAX_NOTES:
            raise _TooMuch(f"the score has more than {MAX_NOTES} notes and rests")
        if self.bars > MAX_BARS:
            raise _TooMuch(f"the score has more than {MAX_BARS} bars")

    def _refuse_jumps(self, name: str, attributes: dict[str, str]) -> None:
        for jump in _JUMPS:
            if name == "sound" and jump in attributes:
                self._refuse(jump)

    def _refuse(self, name: str) -> None:
        self.refused.setdefault(name, self.bar)

    def data(self, text: str) -> None:
        """Takes in text between elements."""
        self.text += text[:40]

    def end(self, name: str) -> None:
        """Takes in the end of an element."""
        text = self.text.strip()
        if self.passed_over:
            self.passed_over -= 1
        elif name in _VALUES and _VALUES[name].fullmatch(text) is None:
            self._refuse(f"{name} {text}".rstrip())
        elif name == "duration":
            self.duration = int(text)
        self.path.pop()
        found = self.children.pop()
        if not self.passed_over:
            self._require(name, found)
        self.text = ""

    def _require(self, name: str, found: list[str]) -> None:
        for missing in _REQUIRED.get(name, ()):
            if missing not in found:
                self._refuse(f"{name} without {missing}")
        if name == "note":
            # music21 gives a note that has no pitch the middle C.
            if found.count("pitch") + found.count("rest") != 1:
                self._refuse("note without one pitch or rest")
            if found.count("duration") + found.count("grace") != 1:
                self._refuse("note without one duration")
            if len(set(self.ties)) < len(self.ties):
                self._refuse("note with two ties of one kind")
            if "chord" in found and ("grace" in found) != self.grace:
                self._refuse("grace note in the chord of another note")
            self.grace = "grace" in found
        if name in ("note", "backup", "forward") and "grace" not in found:
            self._move(name, found)

    def _move(self, name: str, found: list[str]) -> None:
        """Follows the time within the bar, where music21 mends what does not add up."""
        if "chord" in found:
            if self.duration != self.struck:
                self._refuse("chord of different lengths")
            return
        self.struck = self.duration
        self.cursor += -self.duration if name == "backup" else self.duration
        if self.cursor < 0:
            self._refuse("backup beyond the start of the bar")

    def entity(self, *_: object) -> None:
        """Takes in the declaration of an entity."""
        raise _TooMuch("the score declares entities")


def check_score(text: str, report: Report) -> None:
    """Notes what stands in the way of reading a MusicXML text.

    Each kind of thing is named once, with the bar where it comes first.
    """
    watch = _Watch()
    parser = expat.ParserCreate("utf-8")
    parser.StartElementHandler = watch.start
    parser.EndElementHandler = watch.end
    parser.CharacterDataHandler = watch.data
    parser.EntityDeclHandler = watch.entity
    try:
        parser.ParseFile(io.BytesIO(text.encode("utf-8")))
    except _TooMuch as stop:
        report.refuse(str(stop), "export the device alone")
        return
    except expat.ExpatError as error:
        what = expat.errors.messages[error.code]
        where = f"line {error.lineno}, column {error.offset + 1}"
        report.refuse(f"the score is no well-formed XML: {what} in {where}", "export it again")
        return
    if "score-timewise" in watch.refused:
        report.refuse("the score is timewise", "export it as partwise MusicXML")
        return
    for name, bar in watch.refused.items():
        hint = _HINTS.get(name.split()[0], "take it out of the score")
        if name in _WITHOUT_NOTES:
            report.remark(LEFT_OUT, f"{name} is left out", hint, bar)
        else:
            report.refuse(f"{name} is not carried", hint, bar)
