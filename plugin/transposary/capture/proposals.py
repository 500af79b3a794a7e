"""What an entry may say of notes: a role, concepts, and the claims that are true."""

from __future__ import annotations

from collections.abc import Iterator

from transposary.glossary import Role
from transposary.passage import Hand, Passage
from transposary.theory.claims import CLAIMS
from transposary.theory.explanation import Explanation
from transposary.theory.functions import Function
from transposary.theory.progressions import Progression
from transposary.theory.shapes import ROOTLESS

_FULL = 2.5
"""Notes struck together, on an average, that make a row of chords."""
_SCOPED = ("degrees", "rhythm")
_UNSCOPED = ("harmony", "scale")
_OF_FUNCTIONS = {
    Function.PASSING: "passing note",
    Function.NEIGHBOUR: "neighbour note",
    Function.ENCLOSURE: "enclosure",
    Function.ANTICIPATION: "anticipation",
}
_OF_SPACINGS = {"quartal": "quartal voicing", "drop-2": "drop-2", "shell": "shell voicing"}


def propose_role(passage: Passage, seen: Explanation) -> Role:
    """Guesses what a device does in the music."""
    if any(one.name.startswith("turnaround") for one in _stated(passage, seen)):
        return Role.TURNAROUND
    struck = [fact.note for fact in seen.notes if not fact.note.grace]
    strikes = {note.onset for note in struck}
    if len(struck) / len(strikes) >= _FULL:
        return Role.COMPING if len(strikes) > 2 * len(passage.bars) else Role.VOICING
    if passage.hands == (Hand.LEFT,):
        return Role.BASS
    return Role.FILL if len(passage.bars) <= 2 else Role.MELODY


def propose_concepts(passage: Passage, seen: Explanation) -> tuple[str, ...]:
    """Names what is seen in the notes, in the trade's words, each once."""
    return tuple(dict.fromkeys(_concepts(passage, seen)))


def _stated(passage: Passage, seen: Explanation) -> tuple[Progression, ...]:
    """Gives the progressions of chords that stand over the notes; those of guessed ones are no facts."""
    return seen.progressions if passage.symbols else ()


def _concepts(passage: Passage, seen: Explanation) -> Iterator[str]:
    for progression in _stated(passage, seen):
        yield progression.name
        yield from (kind for kind in ("turnaround", "cadence") if kind in progression.name)
    yield from (_OF_SPACINGS[fact.spacing] for fact in seen.chords if fact.spacing in _OF_SPACINGS)
    if any(fact.shape is not None and fact.shape.position == ROOTLESS for fact in seen.chords):
        yield "rootless voicing"
    functions = [fact.function for fact in seen.notes]
    yield from (name for function, name in _OF_FUNCTIONS.items() if functions.count(function) > 1)
    if len(seen.double_stops) > 2:
        yield "double stop"
    if passage.bars[0].number == 0:
        yield "pickup"
    scale = next(claim for claim in CLAIMS if claim.name == "scale").truth_text(passage, None)
    if scale not in ("major", "minor", ""):
        yield from (scale, f"{scale} scale")


def true_claims(passage: Passage) -> tuple[tuple[str, str | None, str], ...]:
    """Writes the claims that are true of notes, as (claim, scope, text)."""
    claims = {claim.name: claim for claim in CLAIMS}
    names = [voice.name for voice in passage.voices]
    scopes: tuple[str | None, ...] = tuple(names) if len(names) > 1 else (None,)
    found = [(name, scope, claims[name].truth_text(passage, scope)) for name in _SCOPED for scope in scopes]
    found += [(name, None, claims[name].truth_text(passage, None)) for name in _UNSCOPED]
    if passage.hands == tuple(Hand):
        found.append(("bass", None, claims["bass"].truth_text(passage, None)))
    return tuple(one for one in found if one[2])
