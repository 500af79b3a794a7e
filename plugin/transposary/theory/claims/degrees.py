"""Every note of a voice, counted from the major scale of the tonic.

    degrees: "1 2 b3 3 | (1 3 5) {b3} 3"

Of one voice where one is named, else of all voices struck together.
"""

from __future__ import annotations

from transposary.theory.claims._degrees import degree_claim

CLAIM = degree_claim("degrees")
