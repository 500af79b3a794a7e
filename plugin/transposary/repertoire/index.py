"""An index over the chords of the repertoire, so that a device asks only where it may fit.

Pairs of chords that follow each other stand under the motion of their roots and their families,
and, for devices that hang on a key, also under the degree of the first in each key that it may
be heard in. The cost of a question is that of its answers. A song that has a chord in two steps
stands there twice: as its chart has it, and with such chords counted as one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from transposary.glossary import Frame
from transposary.passage import Key
from transposary.repertoire.likeness import OTHER_ROOTS, same_root_families
from transposary.repertoire.patterns import Pattern, Step
from transposary.repertoire.performance import Performance, Span, in_one
from transposary.theory.families import Family, family_of
from transposary.theory.modes import is_minor
from transposary.theory.regions import Harmony

Chord = tuple[int, Family]
Where = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Row:
    """The chords of a song as patterns are held against them.

    Attributes:
        performance: The song.
        spans: Its chords.
        stepped: Whether chords in two steps are counted as one.
    """

    performance: Performance
    spans: tuple[Span, ...]
    stepped: bool


@dataclass(frozen=True)
class Index:
    """The repertoire, ready to be asked.

    Attributes:
        rows: The songs, each with a row of its chords.
        in_key: Places of (root over the tonic, family) and of pairs of such, minor keys apart.
        anywhere: Places of families, and of (family, motion of the root, family).
    """

    rows: tuple[Row, ...]
    in_key: Mapping[tuple[bool, Chord, Chord | None], tuple[tuple[Where, Key], ...]]
    anywhere: Mapping[tuple[Family, Chord | None], tuple[Where, ...]]


def index_of(performances: Sequence[Performance]) -> Index:
    """Makes the index of a repertoire."""
    in_key: dict[tuple[bool, Chord, Chord | None], list[tuple[Where, Key]]] = defaultdict(list)
    anywhere: dict[tuple[Family, Chord | None], list[Where]] = defaultdict(list)
    rows = tuple(row for performance in performances for row in _rows(performance))
    for number, row in enumerate(rows):
        for at, span in enumerate(row.spans):
            if span.harmony is None:
                continue
            where = (number, at)
            following = _following(row.spans, at, span.harmony)
            family = family_of(span.harmony.chord.tones)
            anywhere[family, None].append(where)
            if following is not None:
                anywhere[family, following].append(where)
            for key in keys_of(span.harmony):
                root = (span.harmony.chord.root.pitch_class - key.tonic.pitch_class) % 12
                in_key[is_minor(key.mode), (root, family), None].append((where, key))
                if following is not None:
                    in_key[is_minor(key.mode), (root, family), following].append((where, key))
    return Index(
        rows,
        {name: tuple(found) for name, found in in_key.items()},
        {name: tuple(found) for name, found in anywhere.items()},
    )


def _rows(performance: Performance) -> Iterator[Row]:
    yield Row(performance, performance.spans, stepped=False)
    stepped = in_one(performance.spans)
    if len(stepped) < len(performance.spans):
        yield Row(performance, stepped, stepped=True)


def keys_of(harmony: Harmony) -> tuple[Key, ...]:
    """Lists the keys in which a chord may be heard: the song's, and the one it tonicises."""
    return (harmony.key,) if harmony.local is None else (harmony.key, harmony.local)


def candidates(index: Index, pattern: Pattern) -> Iterator[tuple[Where, Key | None]]:
    """Lists where a pattern may begin, with the key in which it would be heard.

    The key is None where the pattern may stand on any root.
    """
    first = pattern.steps[0]
    second = pattern.steps[1] if len(pattern.steps) > 1 else None
    if pattern.frame is Frame.KEY:
        for chord in _answers(first):
            for following in _next_answers(chord, second):
                yield from index.in_key.get((pattern.minor, chord, following), ())
        return
    root = first.numeral.root.semitones % 12
    for family in same_root_families(family_of(first.numeral.tones)):
        for following in _next_answers((root, family), second):
            for where in index.anywhere.get((family, following), ()):
                yield where, None


def _following(spans: Sequence[Span], at: int, harmony: Harmony) -> Chord | None:
    behind = spans[at + 1].harmony if at + 1 < len(spans) else None
    if behind is None:
        return None
    motion = (behind.chord.root.pitch_class - harmony.chord.root.pitch_class) % 12
    return motion, family_of(behind.chord.tones)


def _answers(step: Step) -> Iterator[Chord]:
    """What a chart may show for a step: roots over the tonic, and families."""
    root = step.numeral.root.semitones
    family = family_of(step.numeral.tones)
    for same in same_root_families(family):
        yield root % 12, same
    for other, alike in OTHER_ROOTS.get(family, ()):
        yield (root + alike.root_moves) % 12, other


def _next_answers(shown: Chord, second: Step | None) -> Iterator[Chord | None]:
    if second is None:
        yield None
        return
    for root, family in _answers(second):
        yield (root - shown[0]) % 12, family
