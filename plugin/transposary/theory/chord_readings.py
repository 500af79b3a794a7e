"""The chord symbols that the trade reads in more than one way, and how they are read here.

Which symbols are disputed was found by asking independent libraries: where they disagree, a
player may expect either chord, and the page says which one is meant.
"""

from __future__ import annotations

import re

_MAJ = r"(?:maj|Maj|MAJ|ma|Ma|MA|M|\^)?"
_MIN = r"(?:min|Min|MIN|mi|Mi|MI|m|-)"
_READINGS: tuple[tuple[str, str], ...] = (
    (r"7?\(?alt\)?", "alt is every alteration of a dominant seventh: 1 3 ♭7 ♭9 ♯9 ♯11 ♭13, no natural fifth"),
    (r"\^", "a triangle alone is a major seventh chord"),
    (r"7\+", "+ behind the 7 raises the fifth"),
    (rf"{_MIN}?2", "2 adds the second beside the third; without the third it is sus2"),
    (r".*6/9.*", "6/9 adds the sixth and the ninth; it is no bass"),
    (rf"{_MAJ}11(?!.*sus).*", "an eleventh chord leaves the third out, which its eleventh clashes with"),
    (rf"{_MIN}11.*", "a minor eleventh has its ninth as well"),
    (
        rf"{_MAJ}13(?!.*sus).*",
        "a thirteenth chord leaves the natural eleventh out, which clashes with its third",
    ),
    (rf"{_MIN}13.*", "a minor thirteenth has its ninth and eleventh as well"),
    (r"(?!.*5).*b13.*", "♭13 leaves the fifth in the chord"),
    (r"7(?=.*b5)(?=.*[b#+-]9).*", "♭5 replaces the fifth; above a fifth it would be written ♯11"),
)


def reading_of(plain: str) -> str | None:
    """Gives the reading of a disputed suffix, as `plain_suffix` writes it, else None."""
    return next((text for pattern, text in _READINGS if re.fullmatch(pattern, plain)), None)
