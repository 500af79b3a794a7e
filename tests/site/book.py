"""A small glossary that has one of everything a page shows."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

ENTRIES = {
    "index.md": """---
title: Book
---
# A small book

Begin with the [walk-up](concepts/walk-up.md), then play Low Tide.
""",
    "devices/climb.md": """---
title: Climb <to> "four"
summary: Three notes & a landing.
aliases: [the ♭7 climb]
role: [bass, fill]
concepts: [walk-up, chromatic]
genres: [deep soul]
level: 2
tempo: 92
frame: key
notation: |
  M: 4/4
  L: 1/4
  K: G clef=bass
  "G7" G,,2 A,, B,, | "C7" C,4 |
theory:
  degrees: "1 2 3 | 4"
  harmony: "I7 | IV7"
heard_in:
  - song: low-tide
    where: second verse
  - title: An old record
    link: https://example.org/record?a=1&b=2
applied_in:
  - song: harbour
    bars: B 1-2
    key: F#
    date: 2026-03-14
    changed: the first note twice
    notation: |
      M: 4/4
      L: 1/4
      K: F# clef=bass
      "F#7" F,, F,, G,, A,, | "B7" B,,4 |
  - song: low-tide
    bars: 3-4
see_also: [stretch]
---
The walk-up of every Sunday, heard in Harbour; see [the sketch](sketch.md) and `Low Tide`.

## How to play it

Count a walk-up.
""",
    "devices/stretch.md": """---
title: Stretch
summary: A tenth that closes into a third.
role: voicing
genres: [deep soul]
frame: key
hand: RH
notation: |
  M: 3/4
  L: 1/4
  K: Am
  z | "Am" [Ac']2 [ce] |
---
Roll it.
""",
    "devices/sketch.md": """---
title: Sketch
summary: Not yet.
role: melody
concepts: [secret]
frame: key
status: draft
notation: |
  M: 4/4
  L: 1/4
  K: C
  "C" c d e c |
---
A draft.
""",
    "songs/low-tide.md": """---
title: Low Tide
aliases: [ebb]
key: G
meter: 4/4
tempo: 70
genres: [deep soul]
chart:
  A: "| G7 | C7 / G7 / |"
form: [A, A]
---
""",
    "songs/harbour.md": """---
title: Harbour
key: Gb
meter: 4/4
chart:
  A: "| Gb | Cb7 |"
  B: "| Gb7 | Cb | N.C. | % |"
form: [A, B, A, B]
---
Ends with the climb.
""",
    "concepts/walk-up.md": """---
title: Walk-up
aliases: [walking up]
broader: bass-line
---
A bass line that goes up. See Climb &lt;to&gt; "four".
""",
    "concepts/bass-line.md": """---
title: Bass line
---
The lowest line.
""",
    "collections/first.md": """---
title: First lesson
purpose: lesson
items:
  - device: climb
    keys: [G, Eb]
    note: Slowly <at first>.
  - song: low-tide
---
Ten minutes.
""",
}


def write(root: Path, entries: Mapping[str, str]) -> Path:
    """Writes entries into a folder, which it returns."""
    for name, text in entries.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root
