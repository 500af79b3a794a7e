"""Writes down what libraries answer that no test installs, into `recorded`.

tonal and abcjs run in Node, and mingus stands under the GPL. Their answers are the evidence; the
tests hold ours against them without the libraries. With the three in a folder:

    npm install tonal@6.4.3 abcjs@6.7.2
    pip install --target . mingus==0.6.1
    python -m tests.outside.recording FOLDER
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.engraving.samples import SAMPLES
from tests.outside.chord_tables import AGREED
from tests.outside.test_chords_spelling import QUALITIES, ROOTS
from tests.outside.test_keys_tables import CIRCLE
from tests.outside.test_transposition_spelled import INTERVALS, NAMES
from transposary.reading.abc import write_abc

RECORDED = Path(__file__).parent / "recorded"
MAJORS = [row.split()[0] for row in CIRCLE.split(", ")]
SPELLED = {quality: quality for quality in AGREED if quality not in QUALITIES} | {
    "dim(maj7)": "oM7",
    "maj7sus4": "M7sus4",
}
"""Chords on which the libraries agree and that pychord does not know by this name; tonal's names."""

NUMERALS = ("I", "ii", "iii", "IV", "V", "vi", "Imaj7", "ii7", "iii7", "IVmaj7", "V7", "vi7")
PLAYED = [name for name in SAMPLES if name not in {"endings", "divided bar"}]
"""Samples without repeats, which abcjs plays out."""

MOVED = ["stepping out", "two voices each", "six eight", "pickup in three", "divided bar", "five", "cut"]
"""Samples without graces, double accidentals and chords of notes, which abcjs does not move as one."""

_TONAL = """
const { Chord, Key, Note } = require("tonal");
const given = JSON.parse(require("fs").readFileSync(0));
const all = (list, get) => Object.fromEntries(list.map((one) => [one, get(one)]));
console.log(JSON.stringify({
  chords: all(Object.keys(given.chords), (one) => Chord.get(given.chords[one]).notes),
  sevenths: all(given.keys, (one) => Key.majorKey(one).chords),
  transposed: all(given.intervals, (one) => given.notes.map((note) => Note.transpose(note, one))),
}));
"""

_ABCJS = """
const abcjs = require("abcjs");
const given = JSON.parse(require("fs").readFileSync(0));
const heard = (abc) => abcjs.parseOnly(abc)[0].setUpAudio({ chordsOff: true }).tracks.flat()
  .filter((event) => event.cmd === "note" && event.style !== "grace")
  .map(({ pitch, start, duration }) => [pitch, start, duration]);
const moved = (abc) => Array.from({ length: 11 }, (_, n) => (
  abcjs.strTranspose(abc, abcjs.parseOnly(abc), n + 1)));
const all = (texts, get) => Object.fromEntries(
  Object.entries(texts).map(([name, abc]) => [name, get(abc)]));
console.log(JSON.stringify({ heard: all(given.played, heard), moved: all(given.moved, moved) }));
"""

_MINGUS = """
import json, sys
from mingus.core import intervals, progressions
given = json.load(sys.stdin)
steps = {"m2": intervals.minor_second, "M2": intervals.major_second, "m3": intervals.minor_third,
    "M3": intervals.major_third, "P4": intervals.perfect_fourth, "P5": intervals.perfect_fifth,
    "m6": intervals.minor_sixth, "M6": intervals.major_sixth, "m7": intervals.minor_seventh,
    "M7": intervals.major_seventh}
json.dump({
    "transposed": {name: [up(note) for note in given["notes"]] for name, up in steps.items()},
    "numerals": {key: {one: progressions.to_chords([one.upper().replace("MAJ7", "7")], key)[0]
        for one in given["numerals"]} for key in given["keys"]},
}, sys.stdout)
"""


def main(folder: Path) -> None:
    """Asks the libraries in a folder, and writes a file for each."""
    texts = {name: f"X:1\n{write_abc(SAMPLES[name])}" for name in {*PLAYED, *MOVED}}
    tonal = {
        "chords": {root + ours: root + theirs for ours, theirs in SPELLED.items() for root in ROOTS},
        "keys": MAJORS,
        "intervals": list(INTERVALS),
        "notes": [f"{name}4" for name in NAMES],
    }
    mingus = {"notes": NAMES, "keys": MAJORS, "numerals": NUMERALS}
    abcjs = {
        "played": {name: texts[name] for name in PLAYED},
        "moved": {name: texts[name] for name in MOVED},
    }
    _write("tonal", _asked(["node", "-e", _TONAL], folder, tonal))
    _write("abcjs", _asked(["node", "-e", _ABCJS], folder, abcjs) | {"abc": texts})
    _write("mingus", _asked([sys.executable, "-c", _MINGUS], folder, mingus))


def _asked(command: list[str], folder: Path, given: Mapping[str, object]) -> dict[str, Any]:
    done = subprocess.run(
        command, cwd=folder, input=json.dumps(given), capture_output=True, text=True, check=True
    )
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def _write(name: str, answers: Mapping[str, Mapping[str, object]]) -> None:
    """Writes the answers of a library, one a line."""
    parts = []
    for what, rows in answers.items():
        lines = [f"  {json.dumps(one)}: {json.dumps(answer)}" for one, answer in sorted(rows.items())]
        joined = ",\n".join(lines)
        parts.append(f"{json.dumps(what)}: {{\n{joined}\n }}")
    (RECORDED / f"{name}.json").write_text("{\n " + ",\n ".join(parts) + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
