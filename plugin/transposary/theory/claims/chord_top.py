"""The highest note of each chord struck, counted from the root of the sounding chord.

    chord_top: "9 13 | 9"

Counted as the claim `bass` counts.
"""

from __future__ import annotations

from transposary.theory.claims._degrees import degree_claim

CLAIM = degree_claim("chord_top")
