"""Keyboard fingering: a published model of what is easy, and the fingering that it finds easiest.

`model` has the rules for a line of single notes, `grips` adds chords, `figures` the standard
fingerings of scales and arpeggios, `search` finds the fingering of least cost, and `keys` fingers
a device in its twelve keys.

Everything inside is worked out for the right hand: the left hand is its mirror, about a D, which
leaves white keys white and black keys black.
"""
