"""Pure functions over a passage: chords, keys, transposition, degrees, harmony, playability."""
