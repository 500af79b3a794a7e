"""The highest note of each chord struck, counted from the tonic.

    top: "3 3 | 2"

Counted as the claim `bass` counts.
"""

from __future__ import annotations

from transposary.theory.claims._degrees import degree_claim

CLAIM = degree_claim("top")
