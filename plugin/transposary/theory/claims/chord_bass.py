"""The lowest note of each chord struck, counted from the root of the sounding chord.

    chord_bass: "1 1 5"

Counted as the claim `bass` counts.
"""

from __future__ import annotations

from transposary.theory.claims._degrees import degree_claim

CLAIM = degree_claim("chord_bass")
