"""The part of a device's page that explains it: recipe, motion, chords struck, note by note."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from transposary.glossary import matching_name
from transposary.passage import Passage
from transposary.pitch import Degree, pretty
from transposary.site.links import Link
from transposary.theory.beats import name_place
from transposary.theory.explanation import ChordFact, Explanation, NoteFact
from transposary.theory.functions import Function
from transposary.theory.hands import VOICES
from transposary.theory.harmony import harmony
from transposary.theory.numerals import pretty_numeral
from transposary.theory.recipe_words import Steps, recipe_steps
from transposary.theory.wording import (
    FUNCTION_REASONS,
    double_stop_sentences,
    motion_sentences,
    progression_parts,
    say_chord,
)


@dataclass(frozen=True, slots=True)
class Doing:
    """What some notes of a strike do.

    Attributes:
        degrees: Which notes, or an empty string for all of them.
        function: The name of it.
        why: What that means.
    """

    degrees: str
    function: Link
    why: str


@dataclass(frozen=True, slots=True)
class NoteRow:
    """What a voice strikes at one moment.

    Attributes:
        bar: Number of the bar, the pickup as 0.
        beat: The place in the bar, counted aloud.
        voice: The voice in words.
        degrees: From the tonic.
        over: From the root of the chord, or an empty string.
        functions: What the notes do.
    """

    bar: int
    beat: str
    voice: str
    degrees: str
    over: str
    functions: tuple[Doing, ...]


@dataclass(frozen=True, slots=True)
class ExplainedView:
    """What is explained about a device.

    Attributes:
        recipe: How to play it in any key, voice by voice.
        motion: How bass and top move, and the intervals of double stops.
        progressions: What the harmony does: numerals, and the name for it.
        chords: The chords struck: where, and what they are.
        notes: Note by note.
    """

    recipe: tuple[Steps, ...]
    motion: tuple[str, ...]
    progressions: tuple[tuple[str, Link], ...]
    chords: tuple[tuple[str, str], ...]
    notes: tuple[NoteRow, ...]


def explained(passage: Passage, explanation: Explanation, terms: Mapping[str, Link]) -> ExplainedView:
    """Explains a device; all of it holds in every key.

    Args:
        passage: Its notes.
        explanation: What is true of them.
        terms: Links to concepts by matching name, for the terms of the explanation.
    """
    numerals = ["N.C." if numeral is None else pretty_numeral(numeral) for _, numeral in harmony(passage)]
    return ExplainedView(
        recipe_steps(explanation.recipe),
        motion_sentences(passage, explanation) + double_stop_sentences(explanation),
        tuple((row, _term(name, terms)) for row, name in progression_parts(explanation, numerals)),
        tuple(_chords(passage, explanation.chords)),
        tuple(_rows(passage, explanation.notes, terms)),
    )


def _term(name: str, terms: Mapping[str, Link]) -> Link:
    """Links a term to its concept, under the name that the explanation uses."""
    known = terms.get(matching_name(name))
    return Link(name) if known is None else Link(name, known.target)


def _chords(passage: Passage, chords: Sequence[ChordFact]) -> Iterator[tuple[str, str]]:
    """Says the chords struck, one that is struck again only once."""
    said = ((fact, say_chord(fact)) for fact in chords)
    for words, group in groupby(said, key=lambda pair: pair[1]):
        first = next(group)[0]
        place = name_place(first.beat, compound=passage.bar_at(first.strike.onset).meter.compound)
        yield f"bar {first.strike.bar}, beat {place}", words


def _rows(passage: Passage, facts: Sequence[NoteFact], terms: Mapping[str, Link]) -> Iterator[NoteRow]:
    """Puts the notes in order of time, those that a voice strikes together in one row."""
    ordered = sorted(facts, key=lambda fact: (fact.note.onset, not fact.note.grace))
    together = groupby(ordered, key=lambda fact: (fact.note.onset, fact.note.voice, fact.note.grace))
    for (onset, voice, grace), group in together:
        notes = list(group)
        compound = passage.bar_at(onset).meter.compound
        lead_in = (Doing("", _term("grace note", terms), "leads into the next note"),)
        yield NoteRow(
            notes[0].note.bar,
            name_place(notes[0].beat, compound=compound),
            VOICES[voice],
            _listed([fact.degree for fact in notes]),
            _listed([fact.chord_degree for fact in notes if fact.chord_degree is not None]),
            lead_in if grace else _functions(notes, terms),
        )


def _listed(degrees: Sequence[Degree]) -> str:
    return " ".join(pretty(str(degree)) for degree in degrees)


def _functions(facts: Sequence[NoteFact], terms: Mapping[str, Link]) -> tuple[Doing, ...]:
    """Says what notes struck together do; each degree by itself where they do not do the same."""
    found: dict[Function, list[Degree]] = {}
    for fact in facts:
        if fact.function is not None:
            found.setdefault(fact.function, []).append(fact.degree)
    return tuple(
        Doing(
            _listed(degrees) if len(found) > 1 else "",
            _term(function.value, terms),
            FUNCTION_REASONS[function],
        )
        for function, degrees in found.items()
    )
