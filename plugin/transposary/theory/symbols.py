"""Remarks on chord symbols that the trade reads in more than one way."""

from __future__ import annotations

from transposary.glossary import Device
from transposary.problems import Problem
from transposary.theory.chords import pretty_chord, reading_note


def check_symbols(device: Device) -> tuple[Problem, ...]:
    """Remarks once on each disputed suffix, at the first symbol that has it."""
    seen: set[str] = set()
    found = []
    for symbol in device.passage.symbols:
        note = None if symbol.chord is None else reading_note(symbol.chord)
        if symbol.chord is None or note is None or symbol.chord.suffix in seen:
            continue
        seen.add(symbol.chord.suffix)
        place = symbol.place if symbol.place.file else device.notation_place
        text = f"{pretty_chord(symbol.chord)} is read in more than one way: here {note}"
        hint = "write a plainer symbol, or accept it if that is meant"
        found.append(Problem.remark(place, "theory.ambiguous-symbol", text, hint))
    return tuple(found)
