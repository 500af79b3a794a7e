"""Written keys of transposing instruments, as textbooks tabulate them.

Common practice, and computed from the intervals of MusicXML's `transpose` (B♭ clarinet and trumpet
a major second, alto saxophone a major sixth, horn in F a fifth, each sounding lower than written).
Where a table gives both twins, or the one with as many accidentals as ours, either is right.
"""

from __future__ import annotations

CONCERT = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
WRITTEN = {
    "B♭ instruments": ["D", "Eb", "E", "F", "F#=Gb", "G", "Ab", "A", "Bb", "B", "C", "C#=Db"],
    "E♭ instruments": ["A", "Bb", "B", "C", "C#=Db", "D", "Eb", "E", "F", "F#=Gb", "G", "G#=Ab"],
    "F instruments": ["G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#=Gb"],
}
