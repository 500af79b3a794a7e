"""Devices that claim something, for tests."""

from collections.abc import Mapping, Sequence

from transposary.glossary import Claim, Device, ScaleClaim
from transposary.passage import Passage
from transposary.problems import Place, SourceText
from transposary.theory.claims import CLAIMS, check_claims
from transposary.theory.claims._kind import ClaimKind

FILE = "devices/x.md"
FIRST_LINE = 20


def kind(name: str) -> ClaimKind:
    """Gives a claim by name."""
    return next(claim for claim in CLAIMS if claim.name == name)


def device(passage: Passage, claims: Sequence[Claim] = (), scales: Sequence[ScaleClaim] = ()) -> Device:
    """Makes a device of a passage and what is claimed of it."""
    start = Place(FILE)
    return Device("x", "X", "X.", (), passage, start, start, claims=tuple(claims), scales=tuple(scales))


def claim(name: str, words: str | Sequence[str], scope: str | None = None) -> Claim:
    """Makes a claim whose texts stand one a line, from line 20, each beginning in column 1."""
    texts = [words] if isinstance(words, str) else words
    placed = tuple(SourceText(text, Place(FILE, line)) for line, text in enumerate(texts, start=FIRST_LINE))
    return Claim(name, scope, placed, Place(FILE, FIRST_LINE - 1))


def judged(
    passage: Passage, name: str, words: str | Sequence[str], scope: str | None = None
) -> list[tuple[str, str, str]]:
    """Judges one claim; gives the `LINE:COLUMN`, the text and the hint of each of its problems."""
    found = check_claims(device(passage, [claim(name, words, scope)]))
    return [(f"{one.place.line}:{one.place.column}", one.text, one.hint) for one in found]


def truths(passage: Passage, scope: str | None = None) -> Mapping[str, str]:
    """Gives what every claim would truly say of a passage, those left out that say nothing."""
    texts = {claim.name: claim.truth_text(passage, scope) for claim in CLAIMS}
    return {name: text for name, text in texts.items() if text}


def holds(reading: str, line: str) -> str:
    """Writes the hint to words that hold under another reading."""
    return f"as written this holds {reading}; else write {line}"
