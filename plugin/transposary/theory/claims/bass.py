"""The lowest note of each chord struck, counted from the tonic.

    bass: "4 #4 5"

Of one hand where one is named, else of everything. A note that is held while others are struck
may be counted once or at every chord struck.
"""

from __future__ import annotations

from transposary.theory.claims._degrees import degree_claim

CLAIM = degree_claim("bass")
