"""How far an accidental holds.

An accidental holds for its own octave until the bar ends, as in engraved music. The ABC
music standard 2.1 (section 11.3, still marked volatile) lets it hold for all octaves unless
told otherwise. A note that the two would read differently gets a remark; one sign mends it.
"""

from __future__ import annotations

from transposary.pitch import LETTERS

_SIGNS = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}
_SHARPS = (3, 0, 4, 1, 5, 2, 6)
"""The letters F C G D A E B as places in C D E F G A B, in the order of the sharps."""


def signature_alter(signature: int, letter: int) -> int:
    """Gives what a key signature adds to a letter.

    Args:
        signature: Sharps in the signature; flats are negative.
        letter: Place of the letter in C D E F G A B.
    """
    if signature >= 0:
        return 1 if letter in _SHARPS[:signature] else 0
    return -1 if letter in _SHARPS[signature:] else 0


def write_pitch(step: int, alter: int | None) -> str:
    """Writes a note name with its octave marks, and its accidental unless that is None.

    Raises:
        ValueError: ABC has no sign for the accidental.
    """
    if alter is not None and alter not in _SIGNS:
        raise ValueError(f"ABC writes no accidental of {alter} semitones")
    octave, letter = divmod(step, 7)
    name = (
        LETTERS[letter] + "," * (4 - octave) if octave < 5 else LETTERS[letter].lower() + "'" * (octave - 5)
    )
    return name if alter is None else _SIGNS[alter] + name


class Accidentals:
    """The accidentals of one voice, bar by bar."""

    def __init__(self, signature: int) -> None:
        self._signature = signature
        self._by_step: dict[int, int] = {}
        self._by_letter: dict[int, int] = {}
        self._settled: dict[int, int] = {}

    def new_bar(self) -> None:
        """Forgets what the last bar wrote."""
        self._by_step.clear()
        self._by_letter.clear()
        self._settled.clear()

    def write(self, step: int, alter: int) -> None:
        """Takes in an accidental written before a note."""
        self._settled.pop(step, None)
        self._by_step[step] = alter
        self._by_letter[step % 7] = alter

    def settle(self, step: int, alter: int) -> None:
        """Takes in how a note without accidental was read, so that it is not asked about twice."""
        self._settled[step] = alter

    def read(self, step: int) -> tuple[int, int]:
        """Gives the alteration of a note without accidental, counting its octave and any octave."""
        settled = self._settled.get(step)
        if settled is not None:
            return settled, settled
        signature = signature_alter(self._signature, step % 7)
        return self._by_step.get(step, signature), self._by_letter.get(step % 7, signature)
