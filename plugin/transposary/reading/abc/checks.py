"""What must hold within a voice and between voices, once they are assembled."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise

from transposary.passage import Key, Symbol
from transposary.reading.abc.assembly import DraftVoice
from transposary.reading.abc.elements import Change, Element
from transposary.reading.abc.findings import BARS, SYMBOLS, SYNTAX, TIES, Findings


def check_ties(voice: DraftVoice, findings: Findings) -> None:
    """Notes ties whose next event does not hold the same pitch."""
    for index, event in enumerate(voice.events):
        if index + 1 in voice.gaps:
            continue
        following = voice.events[index + 1 : index + 2]
        pitches = {head.pitch for one in following for head in one.heads}
        for head in event.heads:
            if not head.tied or head.pitch in pitches:
                continue
            text = f"the tie from {head.pitch} leads to no {head.pitch}"
            hint = "tie the same pitch in the next note or chord of the voice"
            if len(event.heads) > 1:
                hint += ", or write - behind those notes of the chord that are held: [C-E]"
            findings.add_at(head.place, TIES, text, hint)


def check_slurs(voice: DraftVoice, findings: Findings) -> None:
    """Notes slurs that never end, and ends of slurs that never began, where all could be read."""
    if voice.gaps:
        return
    begun: list[int] = []
    for event, offset in zip(voice.events, voice.offsets, strict=True):
        begun.extend([offset] * event.slurs_begun)
        for _ in range(event.slurs_ended):
            if not begun:
                findings.add(
                    offset, TIES, "a slur ends here that never began", "write ( before its first note"
                )
                return
            begun.pop()
    for offset in begun:
        findings.add(offset, TIES, "the slur that begins here does not end", "write ) behind its last note")


def check_keys(voices: Mapping[str, DraftVoice], findings: Findings) -> None:
    """Notes changes of key that not all voices make."""
    names = list(voices)
    model = _changes(voices[names[0]])
    for name in names[1:]:
        mine = _changes(voices[name])
        for here, there, other in ((model, mine, name), (mine, model, names[0])):
            for onset, (key, offset) in here.items():
                if onset not in there:
                    findings.add(
                        offset, BARS, f"{other} does not change to {key} here", f"write it in V:{other} too"
                    )
        for onset in model.keys() & mine.keys():
            if model[onset][0] != mine[onset][0]:
                text = f"{name} changes to {mine[onset][0]}, {names[0]} to {model[onset][0]}"
                findings.add(mine[onset][1], BARS, text, "write one key in all voices")


def _changes(voice: DraftVoice) -> dict[Fraction, tuple[Key, int]]:
    return {onset: (key, offset) for onset, key, offset in voice.keys}


def check_shared_staff(name: str, elements: list[Element], findings: Findings) -> None:
    """Notes a clef in a second voice, which shares its staff with the first."""
    for element in elements:
        if isinstance(element, Change) and element.clef is not None:
            text = f"{name} shares a staff with {name[:2]}"
            findings.add(element.offset, SYNTAX, text, f"change the clef in V:{name[:2]}")


def merge_symbols(voices: Mapping[str, DraftVoice], findings: Findings) -> tuple[Symbol, ...]:
    """Puts the chord symbols of all voices in order and notes those that contradict each other."""
    found = sorted(
        (pair for voice in voices.values() for pair in voice.symbols), key=lambda pair: pair[0].onset
    )
    for (one, _), (other, offset) in pairwise(found):
        if one.onset == other.onset and one.chord != other.chord:
            text = f"the voices have {one} and {other} at the same moment"
            findings.add(offset, SYMBOLS, text, "write chord symbols in one voice")
    by_onset: dict[Fraction, Symbol] = {}
    for symbol, _ in found:
        by_onset.setdefault(symbol.onset, symbol)
    return tuple(by_onset.values())
