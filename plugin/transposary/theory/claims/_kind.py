"""What a claim is, and the claims that count: words held against moments of the music."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol

from transposary.glossary import Claim, Device
from transposary.passage import Passage
from transposary.problems import Fault, Place, Problem
from transposary.theory.counting import Line, Truth, count_facts, render
from transposary.theory.parting import Parting, Telling, agree, corrected, first_parting
from transposary.theory.strikes import Hearing, where


class ClaimKind(Protocol):
    """One kind of claim."""

    @property
    def name(self) -> str:
        """The key under `theory:`."""
        ...

    def check(self, device: Device, hearing: Hearing) -> tuple[Problem, ...]:
        """Holds the device's claims of this kind against its notes, as they are heard."""
        ...

    def truth_text(self, passage: Passage, scope: str | None) -> str:
        """Writes what the notes say, in the claim's own grammar.

        Args:
            passage: The notes.
            scope: The voice or hand, or None for the claim's default.

        Returns:
            The text, empty where the claim has nothing to say of these notes.
        """
        ...


Reading = tuple[str, Truth]


@dataclass(frozen=True, slots=True)
class CountedClaim:
    """A claim whose words stand for moments of the music, one after the other.

    Attributes:
        name: The key under `theory:`.
        noun: What is counted, plural.
        source: What it is counted from: `the notes` or `the chord symbols`.
        read: Reads the words.
        truths: What the notes say; several where the author may choose how much to say, the
            usual way first.
        readings: Other ways to understand the words, with what the notes say then; the message
            names the first under which they are true.
        lacking: What to say where there is nothing to count.
        keeps_words: Whether a true word stays as written when its line is corrected.
        joint: What stands between the texts of a claim that is a list.
        quote: Writes the corrected text as YAML.
    """

    name: str
    noun: str
    source: str
    read: Callable[[str], Line | Fault]
    truths: Callable[[Hearing, str | None], tuple[Truth, ...]]
    readings: Callable[[Hearing, str | None], Iterator[Reading]]
    lacking: str
    keeps_words: bool = True
    joint: str = " "
    quote: Callable[[str], str] = '"{}"'.format

    def truth_text(self, passage: Passage, scope: str | None) -> str:
        """Writes what the notes say, in the claim's own grammar."""
        return render(self.truths(Hearing(passage), scope)[0], self.joint)

    def check(self, device: Device, hearing: Hearing) -> tuple[Problem, ...]:
        """Holds the device's claims of this kind against its notes, as they are heard."""
        own = (claim for claim in device.claims if claim.name == self.name)
        return tuple(problem for claim in own for problem in self._judge(hearing, claim))

    def _judge(self, hearing: Hearing, claim: Claim) -> Iterable[Problem]:
        rule = f"theory.{self.name}"
        if (missing := missing_scope(hearing.passage, claim.scope, claim.place, rule)) is not None:
            return (missing,)
        line = self.read(self.joint.join(text.value for text in claim.texts))
        if isinstance(line, Fault):
            return (Problem(_place(claim, line.offset, self.joint), rule, line.text, line.hint),)
        truths = self.truths(hearing, claim.scope)
        if not any(truths):
            return (Problem(claim.place, rule, self.lacking, "leave the claim out"),)
        partings = [self._parting(hearing, line, truth) for truth in truths]
        if None in partings:
            return ()
        parting, truth = self._nearest(line, partings, truths)
        hint = self._hint(hearing, claim, line, truth)
        return (Problem(_place(claim, parting.offset, self.joint), rule, parting.text, hint),)

    def _parting(self, hearing: Hearing, line: Line, truth: Truth) -> Parting | None:
        telling = Telling(self.noun, self.source, lambda onset: where(hearing.passage, onset))
        return first_parting(line, truth, telling) or _outer_bars(hearing.passage, line, truth)

    def _nearest(
        self, line: Line, partings: list[Parting | None], truths: tuple[Truth, ...]
    ) -> tuple[Parting, Truth]:
        """Chooses the truth that the author meant: the one with as many words, else the usual one."""
        pairs = [(parting, truth) for parting, truth in zip(partings, truths, strict=True) if parting]
        return next((pair for pair in pairs if count_facts(pair[1]) == line.words), pairs[0])

    def _hint(self, hearing: Hearing, claim: Claim, line: Line, truth: Truth) -> str:
        mended = self.quote(corrected(line, truth, keep=self.keeps_words, joint=self.joint))
        mended = f"write {claim.scope or self.name}: {mended}"
        for reading, other in self.readings(hearing, claim.scope):
            if agree(line, other) and _outer_bars(hearing.passage, line, other) is None:
                return f"as written this holds {reading}; else {mended}"
        if hearing.passage.bars[0].number == 0 and count_facts(truth) < line.words:
            return f"fill the first bar, which is short and so a pickup, or {mended}"
        return mended


def missing_scope(passage: Passage, scope: str | None, place: Place, rule: str) -> Problem | None:
    """Reports a voice or hand that the notation does not have."""
    names = [voice.name for voice in passage.voices]
    if scope is None or scope in names or any(voice.hand == scope for voice in passage.voices):
        return None
    return Problem(place, rule, f"the notation has no {scope}", f"its voices are {', '.join(names)}")


def _place(claim: Claim, offset: int, joint: str) -> Place:
    """Gives the place of a character of a claim's joined texts."""
    for text in claim.texts[:-1]:
        if offset <= len(text.value):
            return text.place(offset)
        offset -= len(text.value) + len(joint)
    return claim.texts[-1].place(offset)


def _outer_bars(passage: Passage, line: Line, truth: Truth) -> Parting | None:
    """Finds bars in front of the first word or behind the last one that the notes do not have.

    Empty bars there may be marked or not, and so may the outermost barlines.
    """
    first, last = line.groups[0], line.groups[-1]
    for marked, empty, offset, edge in (
        (first.bar, truth[0].bar - passage.bars[0].number, first.offset, f"in front of {first.text}"),
        (line.bars - last.bar, passage.bars[-1].number - truth[-1].bar, line.length, f"behind {last.text}"),
    ):
        if marked not in (0, 1, empty, empty + 1):
            return Parting(offset, f"{marked} barlines stand {edge}, the notes have {empty + 1}")
    return None
