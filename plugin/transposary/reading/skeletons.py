"""New entries as text: a device written out from a sketch, and the other kinds to fill in.

Claims are always quoted, since YAML cuts an unquoted ` #4` off. Optional fields stand as
comments, with what they are for.
"""

from __future__ import annotations

from transposary.glossary import Device, Role
from transposary.problems import Problem
from transposary.reading.abc import write_abc
from transposary.reading.drafting import Sketch, draft_passage
from transposary.reading.tree import quoted
from transposary.song import Song
from transposary.theory.harmony import harmony_text

_DEVICE = """---
title: {title}
summary: {summary}
role: {role}
# concepts: [walk-up]
# genres: [soul]
# level: 2            # 1 to 5
# feel: swing         # or: straight, shuffle
# tempo: 92           # counts the beat
notation: |
{notation}theory:
{theory}# heard_in:
#   - song: low-tide  # a song of the glossary; or  title: any other
#     where: second verse, bars 3–4
---
Say what it does to the music, and when you would play it.
"""

_SONG = """---
title: {title}
key: C                # or: B minor, D dorian
meter: 4/4
# tempo: 88
# feel: swing         # or: straight, shuffle
# genres: [soul]
chart:                # % repeats the bar, / holds a chord for a beat, N.C. is no chord
  A: "| C | Am7 | Dm7 / G7 / | C |"
form: [A]
---
Say what the band should know about it.
"""

_CONCEPT = """---
title: {title}
# aliases: []         # its other names
# broader: cadence    # the concept that it is a kind of
---
Say what {name} means, in a sentence.
"""

_COLLECTION = """---
title: {title}
purpose: lesson       # or: set
items:
  - {item}
    # note: what you would say about it
---
Say what it is for.
"""


def device_skeleton(title: str, role: Role, sketch: Sketch) -> tuple[str | None, tuple[Problem, ...]]:
    """Writes a device from a sketch.

    Returns:
        The entry, or None where the sketch cannot be followed; and why not.
    """
    passage, problems = draft_passage(sketch)
    if passage is None:
        return None, problems
    claims = {"degrees": sketch.degrees.value, "harmony": harmony_text(passage)}
    if sketch.rhythm:
        claims["rhythm"] = sketch.rhythm.value
    text = _DEVICE.format(
        title=quoted(title),
        summary=quoted(f"{title}, in one sentence."),
        role=role.value,
        notation="".join(f"  {line}\n" for line in write_abc(passage).splitlines()),
        theory="".join(f"  {name}: {quoted(said.strip(' |'))}\n" for name, said in claims.items()),
    )
    return text, ()


def song_skeleton(title: str) -> str:
    """Writes a song to fill in."""
    return _SONG.format(title=quoted(title))


def concept_skeleton(title: str) -> str:
    """Writes a concept to fill in."""
    return _CONCEPT.format(title=quoted(title), name=title)


def collection_skeleton(title: str, first: Device | Song) -> str:
    """Writes a lesson or a set to fill in, with a first item, since it cannot be empty."""
    kind = "song" if isinstance(first, Song) else "device"
    return _COLLECTION.format(title=quoted(title), item=f"{kind}: {first.slug}")
