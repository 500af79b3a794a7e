"""What each note does over its chord, held against textbook examples.

The definitions are those of Kostka & Payne, Tonal Harmony (table of nonchord tones) and Open Music
Theory ("Embellishing tones"); the examples are ours, each built to the definition that it names.
Lines marked "players" are common practice, no source.
"""

import pytest

from tests.theory.abc import passage
from transposary.theory.functions import note_functions

SHORT = {
    "chord tone": "C",
    "available tension": "T",
    "passing note": "P",
    "neighbour note": "N",
    "approach from below": "b",
    "approach from above": "a",
    "enclosure": "e",
    "appoggiatura": "A",
    "escape note": "E",
    "anticipation": "^",
    "suspension": "S",
    "pedal note": "p",
    "free note": "f",
    "no chord": "-",
}

EXAMPLES = [
    ("passing, rising", 'K: C\n"C" C2 D2 E4', "CPC"),
    ("passing, falling", 'K: C\n"C" G2 F2 E4', "CPC"),
    ("chromatic passing", 'K: C\n"C" G2 ^F2 "Dm" =F4', "CPC"),
    ("two passing notes in a fourth", 'K: C\n"C" G2 A2 B2 c2', "CPPC"),
    ("accented passing note", 'K: C\n"C" c4 "Am" B2 A2', "CPC"),
    ("upper neighbour", 'K: C\n"C" E2 F2 E4', "CNC"),
    ("lower neighbour", 'K: C\n"C" E2 D2 E4', "CNC"),
    ("chromatic lower neighbour", 'K: C\n"C" G2 ^F2 G4', "CNC"),
    ("neighbours on both sides of the same note", 'K: C\n"C" E2 F2 E2 D2 | E8', "CNCNC"),
    ("appoggiatura from a leap, resolved down", 'K: C\n"C" C4 "G" E2 D2', "CAC"),
    ("appoggiatura on the downbeat", 'K: C\n"C" C8 | "Dm" B4 A4', "CAC"),
    ("escape note", 'K: C\n"C" G2 A2 "Am" E4', "CEC"),
    ("escape note, down by step and up by leap", 'K: C\n"C" E2 D2 "Am" A4', "CEC"),
    ("anticipation struck again", 'K: C\n"G" D6 C2 | "C" C8', "C^C"),
    ("anticipation held over the barline", 'K: C\n"G7" D7 E- | "C" E8', "C^"),
    ("suspension 4-3 held", 'K: C\n"F" c8- | "G" c4 B4', "SC"),
    ("suspension 4-3 struck again", 'K: C\n"F" c8 | "G" c4 B4', "CSC"),
    ("suspension 9-8", 'K: C\n"C" G8- | "F" G4 F4', "SC"),
    ("retardation resolves upward", 'K: C\n"G7" B8- | "C" B4 c4', "SC"),
    ("a held chord tone that stays one is none", 'K: C\n"C" G8- | "Em" G8', "C"),
    ("pedal under changing chords", 'K: C clef=bass\n"C" C,8 | "G" C,8 | "C" C,8', "ppp"),
    ("pedal held", 'K: C clef=bass\n"C" C,8- | "Dm" C,8- | "C" C,8', "p"),
    ("a bass that moves with the chords is no pedal", 'K: C clef=bass\n"C" C,8 | "G" G,,8', "CC"),
    ("players: enclosure, above then below", 'K: C\n"C" C4 F2 ^D2 | E8', "CeeC"),
    ("players: enclosure, below then above", 'K: C\n"C7" C4 A2 =B2 | _B8', "CeeC"),
    ("players: chromatic enclosure of the third", 'K: C\n"Cmaj7" c2 F2 ^D2 E2', "CeeC"),
    ("players: approach from below after a leap", 'K: C\n"C" c3 ^D E4', "CbC"),
    ("players: approach from above after a leap", 'K: C\n"C" C3 F E4', "CaC"),
    ("players: approach from a rest", 'K: C\n"C" z3 ^F G4', "bC"),
    ("tension in a voicing", 'K: C\n"G7" [FBe]8', "CCT"),
    ("tension left by leap", 'K: C\n"Cmaj7" G4 d4 | "Am" A8', "CTC"),
    ("ninth of a dominant left open", 'K: C\n"G7" B4 a4', "CT"),
    ("no chord, nothing to judge", 'K: C\n"N.C." C4 ^F4', "--"),
    ("double stops go as two lines", 'K: C\n"C" [EG]2 [FA]2 [EG]4', "CCNNCC"),
    ("minor: the raised seventh as neighbour", 'K: Am\n"Am" A2 ^G2 A4', "CNC"),
    ("a pickup into the chord", 'K: C\n^F2 | "C" G8', "bC"),
]


@pytest.mark.parametrize(("name", "music", "expected"), EXAMPLES, ids=[name for name, _, _ in EXAMPLES])
def test_note_functions(name: str, music: str, expected: str) -> None:
    """Each note gets the name that the textbooks give it."""
    found = note_functions(passage(f"M: 4/4\nL: 1/8\n{music}"))
    assert "".join(SHORT[found[index]] for index in sorted(found)) == expected, name
