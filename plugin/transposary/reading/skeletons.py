"""New entries as text: a device written out from a sketch, and the other kinds to fill in.

Claims are always quoted, since YAML cuts an unquoted ` #4` off. Optional fields stand as
comments, with what they are for.
"""

from __future__ import annotations

from transposary.glossary import Device, Kind, Role
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
{prose}
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
{prose}
"""

_CONCEPT = """---
title: {title}
# aliases: []         # its other names
# broader: cadence    # the concept that it is a kind of
---
{prose}
"""

_COLLECTION = """---
title: {title}
purpose: lesson       # or: set
items:
  - {item}
    # note: what you would say about it
---
{prose}
"""

_PROSE = {
    Kind.DEVICE: "Say what it does to the music, and when you would play it.",
    Kind.SONG: "Say what the band should know about it.",
    Kind.CONCEPT: "Say what {title} means, in a sentence.",
    Kind.COLLECTION: "Say what it is for.",
}


_SUMMARY_END = ", in one sentence."


def summary_to_write(title: str) -> str:
    """Gives the summary that stands in a new device until its author writes one."""
    return f"{title}{_SUMMARY_END}"


def still_to_write(summary: str) -> bool:
    """Tells whether a summary is one that stands in a new device; the title may be another by now."""
    return summary.rstrip().endswith(_SUMMARY_END)


def prose_to_write(kind: Kind, title: str) -> str:
    """Gives the prose that stands in a new entry until its author writes some."""
    return _PROSE[kind].format(title=title)


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
        summary=quoted(summary_to_write(title)),
        role=role.value,
        notation="".join(f"  {line}\n" for line in write_abc(passage).splitlines()),
        theory="".join(f"  {name}: {quoted(said.strip(' |'))}\n" for name, said in claims.items()),
        prose=prose_to_write(Kind.DEVICE, title),
    )
    return text, ()


def song_skeleton(title: str) -> str:
    """Writes a song to fill in."""
    return _SONG.format(title=quoted(title), prose=prose_to_write(Kind.SONG, title))


def concept_skeleton(title: str) -> str:
    """Writes a concept to fill in."""
    return _CONCEPT.format(title=quoted(title), prose=prose_to_write(Kind.CONCEPT, title))


def collection_skeleton(title: str, first: Device | Song) -> str:
    """Writes a lesson or a set to fill in, with a first item, since it cannot be empty."""
    kind = "song" if isinstance(first, Song) else "device"
    return _COLLECTION.format(
        title=quoted(title),
        item=f"{kind}: {first.slug}",
        prose=prose_to_write(Kind.COLLECTION, title),
    )
