"""Every note of a voice, counted from the root of the sounding chord.

    chord_degrees: "(b3 5 b7 9) | (b7 9 3 13)"

Notes that sound without a chord (`N.C.`) are not counted.
"""

from __future__ import annotations

from transposary.theory.claims._degrees import degree_claim

CLAIM = degree_claim("chord_degrees")
