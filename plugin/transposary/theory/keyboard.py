"""Sizes of a piano keyboard, and how far two keys lie apart on it.

A white key is 23.5 mm wide, so that an octave measures 164.5 mm and a tenth between white keys
211.5 mm. Sources: R. and R. Boyle and E. Booker, "Pianist Hand Spans" (2015), and makers' sizes;
the two agree.
"""

from __future__ import annotations

WHITE_KEY_MM = 23.5
# The middle of each key of an octave, in white keys from the left edge of C. A black key is
# taken to lie over the gap between its neighbours; real ones are off by up to 3 mm.
_MIDDLES = (0.5, 1.0, 1.5, 2.0, 2.5, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 6.5)


def distance_mm(low: int, high: int) -> float:
    """Gives the distance between the middles of two keys, by MIDI number, in millimetres."""
    return WHITE_KEY_MM * (_middle(high) - _middle(low))


def _middle(midi: int) -> float:
    octave, key = divmod(midi, 12)
    return 7 * octave + _MIDDLES[key]
