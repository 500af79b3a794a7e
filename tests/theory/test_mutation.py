"""Mutation score of the claims: what is false is reported at its place, what is true never is.

Each demo device and some tunes of a corpus state what is true of them, in the words of a second
path (tests/theory/mutation, which uses none of the code under test). Then one word, note, length or
chord symbol is changed at a time. Whether a claim is still true, and where it first goes wrong, is
decided by the second path alone.

The tunes are read from music21's corpus at test time: Ryan's Mammoth Collection (1883), public
domain, transcriptions by others.
"""

import importlib.util
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.demo import GLOSSARY
from tests.theory.claims.claiming import FILE, FIRST_LINE
from tests.theory.mutation import scales
from tests.theory.mutation.notes import changed_lengths, changed_notes, changed_symbols, first_bars
from tests.theory.mutation.truths import TRUTHS, Way
from tests.theory.mutation.words import changed, partings, write
from transposary.glossary import Claim, Device, ScaleClaim
from transposary.passage import Passage
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc
from transposary.theory.claims import check_claims

LINES = ("degrees", "chord_degrees", "rhythm")
TOGETHER = ("bass", "top", "chord_bass", "chord_top", "intervals", "harmony", "shapes")
TUNES = 24
OUTSIDE_COLUMN = 40
# All mutants would take minutes and score the same: one in so many is taken.
EVERY_WORD = 12
EVERY_NOTE = 4
# A changed note is held against one in so many claims, another lot each time.
EVERY_CLAIM = 4
# Annotations, bowings, trills and page set-up say nothing about the notes.
_UNREAD = re.compile(r'"[^"]*"|^%%.*$|(?<![A-Za-z:\[])[uvTH~]+(?=[\^_=(\[]*[A-Ga-gz])', re.MULTILINE)


@dataclass(frozen=True)
class Stated:
    """A claim as the second path states it."""

    name: str
    scope: str | None
    text: str
    outside: str = ""


@dataclass
class Score:
    """What became of the mutants."""

    mutants: int = 0
    false: int = 0
    missed: list[str] = field(default_factory=list)
    misplaced: list[str] = field(default_factory=list)
    alarms: list[str] = field(default_factory=list)
    true: int = 0

    @property
    def rate(self) -> float:
        """Share of the false claims that were reported at their place."""
        return 1 - (len(self.missed) + len(self.misplaced)) / self.false

    def judge(self, label: str, passage: Passage, stated: list[Stated]) -> None:
        """Holds the verdict of the claims against that of the second path."""
        verdict = _verdict(passage, stated)
        ways = {
            (name, scope): TRUTHS[name](passage, scope)
            for name, scope in {(one.name, one.scope) for one in stated if one.name != "scale"}
        }
        for line, one in enumerate(stated, start=FIRST_LINE):
            wanted = _partings(passage, one, ways.get((one.name, one.scope), []))
            told = verdict.get(line)
            if wanted is None:
                self.true += 1
                if told is not None:
                    self.alarms.append(f"{label} {one}: {told}")
                continue
            self.false += 1
            if told is None:
                self.missed.append(f"{label} {one}")
            elif told not in wanted:
                self.misplaced.append(f"{label} {one}: {told}, not {wanted}")


def _partings(passage: Passage, one: Stated, ways: list[Way]) -> set[int] | None:
    if one.name == "scale":
        told = set(range(OUTSIDE_COLUMN + len(one.outside) + 1))
        return None if scales.holds(passage, one.text, one.outside) else told
    return partings(one.text, one.name, ways)


def _verdict(passage: Passage, stated: list[Stated]) -> dict[int, int]:
    """Gives the offset of the problem of each claim that has one, by the claim's line."""
    start = Place(FILE)
    claims, named = [], []
    for line, one in enumerate(stated, start=FIRST_LINE):
        text = SourceText(one.text, Place(FILE, line))
        if one.name == "scale":
            outside = SourceText(one.outside, Place(FILE, line, OUTSIDE_COLUMN)) if one.outside else None
            named.append(ScaleClaim(text, None, None, outside, one.scope, text.start))
        else:
            claims.append(Claim(one.name, one.scope, (text,), text.start))
    device = Device("x", "X", "X.", (), passage, start, start, claims=tuple(claims), scales=tuple(named))
    return {one.place.line: one.place.column - 1 for one in reversed(check_claims(device))}


def _stated(passage: Passage) -> Iterator[Stated]:
    voices = [voice.name for voice in passage.voices]
    for name in (*LINES, *TOGETHER):
        scopes = voices if name in LINES else [None, *passage.hands[1:]]
        for scope in scopes:
            way = TRUTHS[name](passage, scope)[0]
            if way and all(words and words[0] != "?" for said in way for words in said.words):
                yield Stated(name, scope and str(scope), write(way, name))
    for name, outside in scales.true_scales(passage):
        yield Stated("scale", None, name, outside)


def _tunes() -> Iterator[tuple[str, Passage]]:
    origin = importlib.util.find_spec("music21")
    assert origin is not None
    assert origin.origin is not None
    folder = Path(origin.origin).parent / "corpus" / "ryansMammoth"
    for path in sorted(folder.glob("*.abc"))[:: 1059 // TUNES]:
        text = path.read_text("utf-8", errors="replace")
        text = re.sub(
            r'"[^"]*"|^%%.*$|(?<![A-Za-z:\[])[uvTH~]+(?=[\^_=(\[]*[A-Ga-gz])', "", text, flags=re.MULTILINE
        )
        passage, _ = read_abc(SourceText(text, Place(path.name)), None)
        if passage is not None:
            yield path.stem, first_bars(passage, 5)


def _passages() -> list[tuple[str, Passage]]:
    return [(device.slug, device.passage) for device in GLOSSARY.devices] + list(_tunes())


@pytest.fixture(scope="module")
def score() -> Score:
    """The score over all passages, computed once."""
    total = Score()
    for slug, passage in _passages():
        stated = list(_stated(passage))
        total.judge(slug, passage, stated)
        others = [other for seed, one in enumerate(stated) for other in _changed(one, seed)][::EVERY_WORD]
        total.mutants += len(others)
        total.judge(slug, passage, others)
        mutants = [*changed_notes(passage), *changed_lengths(passage), *changed_symbols(passage)]
        for number, mutant in enumerate(mutants[::EVERY_NOTE]):
            total.mutants += 1
            total.judge(slug, mutant, stated[number % EVERY_CLAIM :: EVERY_CLAIM])
    return total


def _changed(one: Stated, seed: int) -> Iterator[Stated]:
    if one.name == "scale":
        for name, outside in scales.changed(one.text, one.outside):
            yield Stated("scale", one.scope, name, outside)
    else:
        for text in changed(one.text, one.name, seed):
            yield Stated(one.name, one.scope, text)


def test_what_is_true_has_no_problem(score: Score) -> None:
    """No claim that holds, before or after a change, is reported."""
    assert score.alarms[:5] == []
    assert score.true > 2000


def test_what_is_false_is_reported_at_its_place(score: Score, capsys: pytest.CaptureFixture[str]) -> None:
    """At least 99.5 % of the claims that a change makes false are reported where they go wrong."""
    with capsys.disabled():
        sys.stdout.write(
            f"\n{score.mutants} mutants make {score.false} claims false: {score.rate:.2%} reported at their "
            f"place, {len(score.alarms)} false alarms in {score.true} true ones\n"
        )
    assert score.mutants >= 3000
    assert score.rate >= 0.995, (score.missed + score.misplaced)[:10]
