"""Tunes that nobody here wrote: every tenth file of Ryan's Mammoth Collection (1883).

They stand in music21's installed package and are read there, never copied. The
transcriptions have decorations and remarks for fiddlers, which our subset refuses by name;
they are taken out here, and nothing that sounds. Thirteen of the 106 files have slips of
the transcriber. Eight of those are mended below: a barline, a slur, a repeat, a rest, or a
rhythm that the standard leaves undefined (4.4) written out so that it fills its bar. Five
leave bars with a wrong number of beats, and it is the reader's task to say so.
"""

import re
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

_MENDED = {
    "42dHighlandRegimentStrathspey": (("(G>c/B/)", "(G3/2c/4B/4)"),),
    "BoysOfBockhillJig": (("(e>g/f/a/)", "(e3/2g/f/a/)"),),
    "ConnaughtLassesReel": (("afdf gfed", "afdf | gfed"),),  # a barline is missing
    "GreenHillsOfTyrolReel": (("z2::", "::"), ("z2      :|", ":|")),  # a rest stands beside the pickup
    "HereAwaHighlandFling": ((" B<g)", " (B<g)"),),  # a slur does not begin
    "LochNaGarStrathspey": (("F3G)", "F3G"),),  # a slur does not begin
    "NewLineReel": (('"D.C."|]', ":|"),),  # a repeat does not end
    "VictoriaHornpipe": (("E>G|A2:|", "E>GA2:|"),),  # a barline too many
}
SLIPS = {
    "CelebratedStopHornpipe": (
        "10:26: reading.bars: bar 7 has 3 1/4 beats, 2/4 wants 2; take 5 of L: 1/16 away",
    ),
    "KatysRamblesJig": (
        "11:32: reading.bars: bar 8 has 1 2/3 beats, 6/8 wants 2; add 1 of L: 1/8",
        "13:34: reading.bars: bar 16 has 1 2/3 beats, 6/8 wants 2; add 1 of L: 1/8",
    ),
    "OldBachelorsReel": (
        "14:2: reading.bars: bar 9 has 1 3/4 beats, 2/4 wants 2; add 1 of L: 1/16",
        "15:2: reading.bars: bar 11 has 1 3/4 beats, 2/4 wants 2; add 1 of L: 1/16",
        "16:2: reading.bars: bar 13 has 1 3/4 beats, 2/4 wants 2; add 1 of L: 1/16",
        "17:14: reading.bars: bar 16 has 1 1/2 beats, 2/4 wants 2; add 2 of L: 1/16",
    ),
    "PeaPatchJig": ("13:17: reading.bars: bar 10 has 2 1/4 beats, 2/4 wants 2; take 1 of L: 1/16 away",),
    "TidalWaveJig": (
        "14:6: reading.abc: two broken rhythms meet at one note; write the lengths out, such as C3/2D/",
        "22:4: reading.bars: bar 24 has 1 1/2 beats, 2/4 wants 2; add 2 of L: 1/16",
        "24:63: reading.abc: two broken rhythms meet at one note; write the lengths out, such as C3/2D/",
        "25:63: reading.abc: two broken rhythms meet at one note; write the lengths out, such as C3/2D/",
    ),
}
"""What the reader says to the five tunes that cannot be mended without a guess."""


class Tune(NamedTuple):
    """A tune: its name, the text as found, and the same text in our subset."""

    name: str
    text: str
    plain: str


def tunes() -> list[Tune]:
    """Gives the hundred and one tunes that are right."""
    return [tune for tune in _all() if tune.name not in SLIPS]


def slips() -> list[Tune]:
    """Gives the five tunes in which the transcriber slipped."""
    return [tune for tune in _all() if tune.name in SLIPS]


def _all() -> Iterator[Tune]:
    spec = find_spec("music21")
    assert spec is not None
    assert spec.submodule_search_locations is not None
    folder = Path(spec.submodule_search_locations[0]) / "corpus" / "ryansMammoth"
    for path in sorted(folder.glob("*.abc"))[::10]:
        text = _unwrapped(path.read_text(encoding="utf-8"))
        for old, new in _MENDED.get(path.stem, ()):
            assert old in text, path.stem
            text = text.replace(old, new)
        yield Tune(path.stem, text, "\n".join(_plain(line) for line in text.splitlines()))


def _unwrapped(text: str) -> str:
    """Undoes what e-mail did to three of the files (quoted-printable)."""
    return text.replace("=\n", "").replace("=20\n", "\n").replace("=3D", "=")


def _plain(line: str) -> str:
    if re.match(r"%%|Q:", line):
        return ""
    if re.match(r"[A-Za-z]:", line):
        # "EM" is minor by the letter of the standard (3.1.14); our reader asks which is meant.
        return line.replace("K: EM", "K: Em")
    line = re.sub(r'"[^"]*"|![^!]*!', "", line)
    return re.sub(r"[~HIJKLMNOPQRSTUVWhijklmnopqrstuvw]|\[\|\]", "", line)
