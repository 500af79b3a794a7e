"""A small glossary as values, for tests that need no files."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from tests.theory.build import build, chord
from transposary.glossary import (
    AppliedIn,
    BarRange,
    Collection,
    CollectionItem,
    Concept,
    Device,
    Glossary,
    HeardIn,
    Purpose,
    Ref,
    Role,
)
from transposary.passage import Key, Meter, Passage
from transposary.pitch import NoteName
from transposary.problems import Place
from transposary.song import ChartBar, ChartChord, PlayedBar, Section, Song

NOWHERE = Place("devices/x.md")
D_MAJOR = Key(NoteName.parse("D"))


def ref(slug: str) -> Ref:
    """A mention that has been resolved."""
    return Ref(slug, NOWHERE, slug)


def heard(slug: str) -> HeardIn:
    """A song of the glossary in which a device was heard."""
    return HeardIn(ref(slug), None, None, None, NOWHERE)


def applied(slug: str) -> AppliedIn:
    """A song of the glossary in which a device was played."""
    bars = BarRange(1, 2, "A")
    return AppliedIn(ref(slug), bars, D_MAJOR, date(2026, 3, 14), "an octave lower", None, NOWHERE)


def device(slug: str, passage: Passage) -> Device:
    """A bass device whose title is its slug, capitalised."""
    title = slug.capitalize().replace("-", " ")
    return Device(slug, title, f"{title}.", (Role.BASS,), passage, NOWHERE, NOWHERE)


def concept(slug: str) -> Concept:
    """A concept whose title is its slug, capitalised."""
    return Concept(slug, slug.capitalize().replace("-", " "), NOWHERE)


def song(slug: str) -> Song:
    """A song of two bars, the first with two chords, the second silent of them."""
    first = ChartBar(
        (
            ChartChord(Fraction(1), Fraction(2), chord("D")),
            ChartChord(Fraction(3), Fraction(2), chord("A7")),
        ),
        Meter(4, 4),
        D_MAJOR,
    )
    second = ChartBar((ChartChord(Fraction(1), Fraction(4), None),), Meter(4, 4), D_MAJOR)
    played = (PlayedBar(1, "A", 1, 1, first), PlayedBar(2, "A", 1, 2, second))
    sections = (Section("A", (first, second)),)
    title = slug.capitalize().replace("-", " ")
    return Song(slug, title, D_MAJOR, Meter(4, 4), NOWHERE, sections, ("A",), played, genres=("soul",))


def walk_up() -> Device:
    """Four notes with a pickup, a tie and a grace note, over two chords in A minor."""
    passage = build(LH="E2:1/2 | A2:2 B2 {Bb2}C3~ C3:2 D3:2", chords="0 Am; 4 D7", key="A minor", meter="4/4")
    return replace(
        device("walk-up", passage),
        aliases=("stroll",),
        concepts=(ref("passing-note"),),
        genres=("soul",),
        level=2,
        tempo=92,
        applied_in=(applied("low-tide"),),
    )


def small_glossary() -> Glossary:
    """A device, its song and concept, and a lesson that asks for it in E♭ at 100 by a Tuesday."""
    item = CollectionItem(ref("walk-up"), None, ("Eb",), "hands apart", NOWHERE, tempo=100)
    lesson = Collection("tuesday", "Tuesday", Purpose.LESSON, (item,), NOWHERE, due=date(2026, 3, 17))
    return Glossary(
        devices=(walk_up(),),
        songs=(song("low-tide"),),
        concepts=(replace(concept("passing-note"), defined=False),),
        collections=(lesson,),
    )
