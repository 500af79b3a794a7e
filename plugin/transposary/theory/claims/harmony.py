"""Roman numerals of the chord symbols.

    harmony: "ii7 V7 | Imaj7"

In players' style, counted from the tonic's major scale in every mode. `V7/ii` says the same as
`VI7`; `N.C.` is said as such. A chord that comes again may be said at each of its symbols or only
where it changes, and again in every bar that it holds through; `%` stands for a bar that repeats
the one before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from transposary.passage import Passage, Symbol
from transposary.problems import Fault
from transposary.theory.chords import is_no_chord
from transposary.theory.claims._degrees import BY_SOUND, Counting, other_countings, twins
from transposary.theory.claims._kind import CountedClaim, Reading
from transposary.theory.counting import Fact, Line, Moment, Truth, read_words, with_keys
from transposary.theory.harmony import harmony
from transposary.theory.numerals import Numeral, parse_numeral
from transposary.theory.strikes import Hearing

_NO_CHORD = "N.C."
_REPEAT = "%"
_LACKING = "there are no chord symbols"
_Counted = tuple[Symbol, Numeral | None]


def _read(text: str) -> Line | Fault:
    line = with_keys(read_words(text), _key_of)
    if isinstance(line, Fault):
        return line
    groups = tuple(group for group in line.groups if group.text != _REPEAT)
    return replace(line, groups=groups) if groups else Fault(0, "no chord stands before the %")


def _key_of(word: str) -> str | Fault:
    if word == _REPEAT:
        return _REPEAT
    if is_no_chord(word):
        return _NO_CHORD
    numeral = parse_numeral(word)
    return numeral if isinstance(numeral, Fault) else str(numeral.plain)


def _truths(hearing: Hearing, _scope: str | None) -> tuple[Truth, ...]:
    return tuple(_moments(counted) for counted in _ways_to_say(hearing.passage))


def _ways_to_say(passage: Passage) -> tuple[tuple[_Counted, ...], ...]:
    """Lists the chords as the symbols stand, as they change, and said again in each bar."""
    each = harmony(passage)
    changes = tuple(
        (symbol, numeral)
        for index, (symbol, numeral) in enumerate(each)
        if index == 0 or symbol.chord != each[index - 1][0].chord
    )
    held = {
        bar.onset: (replace(symbol, onset=bar.onset, bar=bar.number), numeral)
        for symbol, numeral in each
        for bar in passage.bars
        if symbol.onset < bar.onset and passage.chord_at(bar.onset) == symbol
    }
    again = held | {symbol.onset: (symbol, numeral) for symbol, numeral in each}
    return tuple(dict.fromkeys((each, changes, tuple(again[onset] for onset in sorted(again)))))


def _moments(counted: Iterable[_Counted], count: Counting = lambda degree: (degree,)) -> Truth:
    found = []
    for symbol, numeral in counted:
        text = _NO_CHORD if numeral is None else str(numeral)
        keys = {_NO_CHORD} if numeral is None else set(map(str, _recounted(numeral, count)))
        found.append(Moment(symbol.bar, symbol.onset, (Fact(text, frozenset(keys), str(symbol)),)))
    return tuple(found)


def _recounted(numeral: Numeral, count: Counting) -> Iterator[Numeral]:
    basses = [None] if numeral.bass is None else list(count(numeral.bass))
    for root, bass in product(count(numeral.root), basses):
        yield replace(numeral, root=root, bass=bass)


def _readings(hearing: Hearing, _scope: str | None) -> Iterator[Reading]:
    for counted in _ways_to_say(hearing.passage):
        for reading, count in (*other_countings(hearing.passage.key), (BY_SOUND, twins)):
            yield reading, _moments(counted, count)


CLAIM = CountedClaim("harmony", "numerals", "the chord symbols", _read, _truths, _readings, _LACKING)
