"""What classical analysis writes and players' numerals do not: figured bass and named chords.

`I6/4`, `V65` and `viio6` count intervals over a bass. Here a figure names the chord and a slash
the bass, so that `I6` is an added sixth. What is figured is refused, and our form offered.
"""

from __future__ import annotations

import re

from transposary.pitch import Degree, NoteName, accidental
from transposary.problems import Fault

_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")
_ROMANS = r"(?P<{0}signs>b*|#*)(?P<{0}roman>VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)"
_FIGURED = re.compile(
    _ROMANS.format("")
    + r"(?P<quality>[oø+]?)(?P<figures>6/[345]|4/[23]|6[345]|4[23]|2|(?<=[oø])6)"
    + rf"(?:/{_ROMANS.format('of')})?"
)
_NAMED = re.compile(r"N6?|(?:Ger|Fr|It|Gr)[+]?(?:6|65|43)?")
_NAMES = {"N": "bII", "N6": "bII/4", "G": "bVI7", "F": "bVI7(b5)", "I": "bVI7(no5)"}
# Which chord tone a figure puts into the bass, and whether the chord has a seventh.
_INVERSIONS = {
    "6": (3, False),
    "63": (3, False),
    "64": (5, False),
    "65": (3, True),
    "43": (5, True),
    "42": (7, True),
    "2": (7, True),
}
_C = NoteName(0)


def refuse_foreign(text: str) -> Fault | None:
    """Refuses figured bass and named chords with the form to write instead, else None."""
    plain = text.translate(str.maketrans("♭♯°ºØ", "b#ooø"))
    if _NAMED.fullmatch(plain):
        ours = _NAMES.get(plain) or _NAMES[plain[0]]
        return Fault(0, f"'{text}' is the name of a chord, where a numeral is expected", f"write '{ours}'")
    match = _FIGURED.fullmatch(plain)
    if match is None:
        return None
    return Fault(match.start("figures"), f"'{text}' is figured bass", f"write '{_ours(match)}'")


def _ours(match: re.Match[str]) -> str:
    number, seventh = _INVERSIONS[match["figures"].replace("/", "")]
    root = _degree(match["signs"], match["roman"])
    quality = match["quality"]
    chord = f"{match['signs']}{match['roman']}{quality}"
    major_seventh = seventh and not quality and match["roman"].isupper() and match["roman"] != "V"
    if quality == "ø" or seventh:
        chord += "maj7" if major_seventh else "7"
    tonic, aim = _C, ""
    if match["ofroman"] is not None:
        aim = f"/{match['ofsigns']}{match['ofroman']}"
        tonic = _degree(match["ofsigns"], match["ofroman"]).above(_C)
    tone = _tone(number, match["roman"], quality, major_seventh=major_seventh)
    bass = Degree.between(_C, tone.above(root.above(tonic)))
    return f"{chord}{aim}/{accidental(bass.alter)}{bass.number}"


def _tone(number: int, roman: str, quality: str, *, major_seventh: bool) -> Degree:
    match number:
        case 3:
            return Degree(3, -1 if roman.islower() else 0)
        case 5:
            return Degree(5, {"o": -1, "ø": -1, "+": 1}.get(quality, 0))
        case _:
            return Degree(7, 0 if major_seventh else -2 if quality == "o" else -1)


def _degree(signs: str, roman: str) -> Degree:
    return Degree(_ROMAN.index(roman.upper()) + 1, signs.count("#") - signs.count("b"))
