"""Where the author's words and the notes part, and the line that would be true."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.theory.counting import Group, Line, Moment, Truth, count_facts, with_marks


@dataclass(frozen=True, slots=True)
class Telling:
    """How messages speak of what a claim counts.

    Attributes:
        noun: What is counted, plural: `degrees`.
        source: What says otherwise: `the notes`.
        where: Says where a moment lies: `bar 1, beat 3`.
    """

    noun: str
    source: str
    where: Callable[[Fraction], str]


@dataclass(frozen=True, slots=True)
class Parting:
    """The first place at which words and notes differ.

    Attributes:
        offset: Where in the text.
        text: What was written and what the notes say.
    """

    offset: int
    text: str


def agree(line: Line, truth: Truth) -> bool:
    """Tells whether the author's words say what the notes say."""
    return _first_difference(line, _without_left_out(line, truth)) is None


def first_parting(line: Line, truth: Truth, telling: Telling) -> Parting | None:
    """Finds where the author's words and the notes part, or None where they agree.

    Args:
        line: The words, with keys.
        truth: What the notes say.
        telling: How to say it.
    """
    moments = _without_left_out(line, truth)
    index = _first_difference(line, moments)
    if index is None:
        return None
    counts = _counts(line, truth, telling.noun)
    if index == len(line.groups):
        moment = moments[index]
        text = f"{moment.text} ({moment.notes}) in {telling.where(moment.onset)} is missing"
        return Parting(line.length, f"{text}; {counts}")
    group = line.groups[index]
    if index == len(moments):
        return Parting(group.offset, f"{group.text} comes after the last one; {counts}")
    if _agrees(group, moments[index]):
        return _misplaced_barline(line.groups[index - 1 : index + 1], moments[index - 1 : index + 1], telling)
    found = _difference(group, moments[index], telling)
    return replace(found, text="; ".join(filter(None, (found.text, counts))))


def corrected(line: Line, truth: Truth, *, keep: bool = True, joint: str = " ") -> str:
    """Writes the author's line as the notes have it.

    Bars and grace notes are written where the author writes them.

    Args:
        line: The author's words.
        truth: What the notes say.
        keep: Whether the author's own words stay where they are true.
        joint: What parts the words.
    """
    moments = _without_left_out(line, truth)
    if keep and len(moments) == len(line.groups):
        texts = [
            group.text if _agrees(group, moment) else moment.text
            for group, moment in zip(line.groups, moments, strict=True)
        ]
    else:
        texts = [moment.text for moment in moments]
    return joint.join(with_marks(texts, moments, bars=line.bars > 0))


def _without_left_out(line: Line, truth: Truth) -> Truth:
    """Drops the grace notes that the author leaves out."""
    kept: list[Moment] = []
    for moment in truth:
        at = len(kept)
        if not moment.grace or (at < len(line.groups) and line.groups[at].grace):
            kept.append(moment)
    return tuple(kept)


def _counts(line: Line, truth: Truth, noun: str) -> str:
    there = count_facts(truth)
    if line.words == there:
        return ""
    written = f"1 {noun[:-1]} is" if line.words == 1 else f"{line.words} {noun} are"
    return f"{written} written, {there} {'is' if there == 1 else 'are'} there"


def _first_difference(line: Line, moments: Truth) -> int | None:
    """Gives the place of the first group or moment that has no fellow, or stands in another bar."""
    for index, (group, moment) in enumerate(zip(line.groups, moments, strict=False)):
        if not _agrees(group, moment):
            return index
        if line.bars and index > 0:
            written = group.bar - line.groups[index - 1].bar
            if written != moment.bar - moments[index - 1].bar:
                return index
    shorter, longer = sorted((len(line.groups), len(moments)))
    return None if shorter == longer else shorter


def _misplaced_barline(groups: Sequence[Group], moments: Truth, telling: Telling) -> Parting:
    surplus = (groups[1].bar - groups[0].bar) - (moments[1].bar - moments[0].bar)
    fault = "a barline stands" if surplus > 0 else "a barline is missing"
    place = f"which comes in {telling.where(moments[1].onset)}"
    return Parting(groups[1].offset, f"{fault} before {groups[1].text} ({moments[1].notes}), {place}")


def _agrees(group: Group, moment: Moment) -> bool:
    same_kind = group.grace == moment.grace and len(group.words) == len(moment.facts)
    return same_kind and not any(
        word.key not in fact.keys for word, fact in zip(group.words, moment.facts, strict=True)
    )


def _difference(group: Group, moment: Moment, telling: Telling) -> Parting:
    """Says how a group and its moment differ, at the word concerned."""
    place = telling.where(moment.onset)
    if group.grace != moment.grace:
        text = f"{{{group.text}}} is written as a grace note" if group.grace else f"{group.text} is written"
        there = f"the grace note {{{moment.text}}}" if moment.grace else moment.text
        return Parting(group.offset, f"{text}, {telling.source} have {there} ({moment.notes}) in {place}")
    if len(group.words) == len(moment.facts):
        pairs = zip(group.words, moment.facts, strict=True)
        word, fact = next((word, fact) for word, fact in pairs if word.key not in fact.keys)
        there = f"{telling.source} have {fact.text} ({fact.note}) in {place}"
        return Parting(word.offset, f"{word.text} is written, {there}{_misordered(group, moment)}")
    there = f"{telling.source} have {moment.text} ({moment.notes}) in {place}"
    return Parting(group.offset, f"{group.text} is written, {there}")


def _misordered(group: Group, moment: Moment) -> str:
    every_word_is_there = all(any(key in fact.keys for fact in moment.facts) for key in group.keys)
    every_fact_is_said = all(any(key in fact.keys for key in group.keys) for fact in moment.facts)
    if len(group.words) > 1 and every_word_is_there and every_fact_is_said:
        return "; notes together are written lowest first"
    return ""
