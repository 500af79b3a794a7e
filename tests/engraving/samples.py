"""Passages that hold whatever notation can do, written in ABC."""

from tests.theory.abc import passage

STEPPING_OUT = passage('M:4/4\nL:1/4\nK:G clef=bass\n"G7" G,,2 A,, B,, | "C7" C,2 z2 |]')
"""Four bass notes."""

TWO_HANDS = passage("""M:4/4
L:1/8
K:Bbm
V:RH
FG | "Bbm" [B,DF]2-[B,DF] F "F7b9/A" z !accent![=A,CEG]3 |\
"Bbm7" {/_c}(3B=A_A G/F/=E "Gbmaj7" .E4 |]
V:LH clef=bass
z2 | !5!B,,2 z !ghost!F,,=A,,,F,, C,,2 | B,,,8 |]
""")
"""A pickup, ties, an accent, a slashed grace, a triplet, sixteenths, a ghost note, a fingering."""

HELD_UNDER_MOVING = passage("""M:12/8
L:1/8
K:Ab
V:RH
"Ab7" ef_g =g2a "Db6" e3 c3 | "Ebm7b5/A" d6 "N.C." c6 |]
V:RH2
C6 D6 | z12 |]
V:LH clef=bass
A,,3 E,3 A,,6 | A,,12 |]
""")
"""Two voices in the right hand, compound time."""

SAMPLES = {
    "stepping out": STEPPING_OUT,
    "two hands": TWO_HANDS,
    "held under moving": HELD_UNDER_MOVING,
    "endings": passage("""M:4/4
L:1/4
K:F
|: "F" FGAB | "Bb" c2 A2 |1 "C7" G4 :|2 "F" F4 || "F" F2 A2 | "F6" c4 |]
"""),
    "marks": passage("""M:4/4
L:1/4
K:D
"D" (!3!d!5!!ghost!f {/g}!accent!f .e) | "Bm7/E" !accent![!1!D!2!F!3!A!5!d]2 {def}(gf) |]
"""),
    "low and high": passage("""M:4/4
L:1/4
K:Gb
V:RH
"Gb6" [d'f'b']2 "Abm7/Db" [e'g'c'']2 | "Cbm" __a__b c'/__d'/ f |]
V:LH clef=bass
G,,,2 D,, B,,, | [C,,G,,]4 |]
"""),
    "two voices each": passage("""M:3/4
L:1/4
K:Am
V:RH
"Am" e d/c/ "E7" B | "Am" c3 |]
V:RH2
c2 ^G | ABA |]
V:LH clef=bass
A,3 | E,F,E, |]
V:LH2
A,,E,E,, | A,,3 |]
"""),
    "tuplets": passage("""M:4/4
L:1/8
K:C
"C" (3czc (3:2:2G2A (6:4:6c/d/e/f/g/a/ g3/f/ | (3e2f2g2 c/d/e fe/d/ |]
"""),
    "changes": passage("""M:4/4
L:1/4
K:C
V:RH
CDEF | [K:E] G F/E/ D=F | [K:Ab][M:3/4] E3 |]
V:LH clef=bass
C,2 G,[K:clef=treble]E | [K:E] C4 | [K:Ab][M:3/4][K:clef=bass] C,3 |]
"""),
    "close chords": passage("""M:4/4
L:1/4
K:Db
"Dbmaj7" F "Ebm7b5/Bbb" G "Ab7#9" A "Ab7sus4/Db" B | "N.C." F/ z/ "Dbmaj7#11/F" x "Ab13" z2 |]
"""),
    "syncopation": passage("""M:4/4
L:1/8
K:C
CD2E2F2G | A3B4z | c/de/ f3/2g/ a3/2b2z/ | c7d |]
"""),
    "six eight": passage("""M:6/8
L:1/8
K:Em
"Em" EFG A2B | "Am" E4G2 | "Em" z2E z3 |]
"""),
    "accidentals": passage("""M:4/4
L:1/4
K:C
^F=F^f=F | F^c3- | ^c^c=c_B | =B^^G^G=G |]
"""),
    "pickup in three": passage('M:3/4\nL:1/8\nK:G\nDGA | "G" B4 "D7" A2 | "G" G6 |]\n'),
    "divided bar": passage("M:4/4\nL:1/4\nK:G\nD |: GABc | d3 :: d | edcB | G3 :|\n"),
    "five": passage('M:5/4\nL:1/8\nK:Bb\n"Bb" B4-Bc4-c | d8-d2 |]\n'),
    "cut": passage("M:C|\nL:1/4\nK:Bb\nBc2d | z d3/c3/ |]\n"),
    "eight bars": passage(
        "M:4/4\nL:1/8\nK:Eb\nV:RH\n"
        + '"Ebmaj7" edcB "Cm7" AGFE | "Fm7" edcB "Bb7b9" AGFE | ' * 4
        + "\nV:LH clef=bass\n"
        + "[E,,B,,G,]8 | " * 8
    ),
}
