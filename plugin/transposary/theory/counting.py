"""How the author's words count the notes: the grammar that most claims share.

    1 b3 5          notes one after the other; `♭3` says the same as `b3`
    (1 3 5)         notes sounded together, lowest first
    {b3} 3          a grace note before a note; `{2 b3} 3` two of them; may be left out
    1 2 3 | 4       bars: where one is marked, all must agree with the barlines

A barline before the first bar and one behind the last are as good as none. A bar in which nothing
is counted stands empty between its barlines: `1 | | 1`.

What the notes say is a `Truth`: the moments in order, each with its facts. A fact has the text
that we write for it and the keys of all that counts as true; an author's word counts by its key.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from transposary.problems import Fault

_ITEM = re.compile(
    r"(?P<bar>\|)|\{(?P<grace>[^{}|]*)\}|\((?P<chord>[^(){}|]*)\)|(?P<word>[^\s|(){}]+)|(?P<stray>[(){}])"
)
_SILENT = Fault(0, "the claim says nothing", "write what the notes do, or leave the line out")


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that the notes say.

    Attributes:
        text: How we write it.
        keys: Keys of all the words that are true of it.
        note: What it is about, for messages: `E4`.
    """

    text: str
    keys: frozenset[str]
    note: str


@dataclass(frozen=True, slots=True)
class Moment:
    """What the notes say at one moment.

    Attributes:
        bar: Number of the bar.
        onset: In quarter notes from the first downbeat.
        facts: One for each note, lowest first.
        grace: Whether it is a grace note.
    """

    bar: int
    onset: Fraction
    facts: tuple[Fact, ...]
    grace: bool = False

    @property
    def text(self) -> str:
        """How we write it, in parentheses where notes sound together."""
        return _in_parentheses([fact.text for fact in self.facts])

    @property
    def notes(self) -> str:
        """The notes, for messages."""
        return " ".join(fact.note for fact in self.facts)


Truth = tuple[Moment, ...]


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the author.

    Attributes:
        text: As written, with `b` and `#` for ♭ and ♯.
        offset: Where it stands in the text.
        key: What it says, comparable with the keys of a fact.
    """

    text: str
    offset: int
    key: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """What the author says of one moment.

    Attributes:
        words: One, or those within parentheses.
        offset: Where it begins in the text.
        bar: Barlines before it in the text.
        grace: Whether it stands in braces.
    """

    words: tuple[Word, ...]
    offset: int
    bar: int
    grace: bool

    @property
    def text(self) -> str:
        """As written."""
        return _in_parentheses([word.text for word in self.words])

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of its words."""
        return tuple(word.key for word in self.words)


@dataclass(frozen=True, slots=True)
class Line:
    """A claim's text, read into groups.

    Attributes:
        groups: In order.
        bars: Barlines in the whole text.
        length: Length of the text.
    """

    groups: tuple[Group, ...]
    bars: int
    length: int

    @property
    def words(self) -> int:
        """Number of words, grace notes left out."""
        return sum(len(group.words) for group in self.groups if not group.grace)


def with_keys(line: Line | Fault, key_of: Callable[[str], str | Fault]) -> Line | Fault:
    """Gives each word of a line the key by which it is compared.

    Args:
        line: As `read_groups` or `read_words` gave it.
        key_of: Gives the key of a word, or what is wrong with it (its offset counted within
            the word).
    """
    if isinstance(line, Fault):
        return line
    groups = []
    for group in line.groups:
        words = []
        for word in group.words:
            key = key_of(word.text)
            if isinstance(key, Fault):
                return replace(key, offset=word.offset + key.offset)
            words.append(replace(word, key=key))
        groups.append(replace(group, words=tuple(words)))
    return replace(line, groups=tuple(groups))


def read_words(text: str) -> Line | Fault:
    """Reads a claim's text in which brackets mean nothing: words and bars; they have no key yet."""
    groups: list[Group] = []
    bars = 0
    for match in re.finditer(r"\||[^\s|]+", text):
        if match[0] == "|":
            bars += 1
        else:
            groups.append(Group((_word(match[0], match.start()),), match.start(), bars, grace=False))
    return Line(tuple(groups), bars, len(text)) if groups else _SILENT


def read_groups(text: str) -> Line | Fault:
    """Reads bars, parentheses and braces of a claim's text; the words have no key yet."""
    groups: list[Group] = []
    bars = 0
    for match in _ITEM.finditer(text):
        if match["bar"]:
            bars += 1
            continue
        found = _grace_groups(match, bars) if match["grace"] is not None else (_group(match, 0, bars),)
        for group in found:
            if isinstance(group, Fault):
                return group
            groups.append(group)
    return Line(tuple(groups), bars, len(text)) if groups else _SILENT


def _grace_groups(match: re.Match[str], bars: int) -> tuple[Group | Fault, ...]:
    shift = match.start("grace")
    found = [_group(inner, shift, bars, grace=True) for inner in _ITEM.finditer(match["grace"])]
    return tuple(found) or (Fault(match.start(), "the braces are empty", "a grace note is written {b3}"),)


def _group(match: re.Match[str], shift: int, bars: int, *, grace: bool = False) -> Group | Fault:
    offset = shift + match.start()
    if match["stray"]:
        kind = "closes nothing" if match["stray"] in ")}" else "is never closed in its bar"
        return Fault(
            offset, f"{match['stray']!r} {kind}", "write (1 3 5) for notes together, {b3} for a grace note"
        )
    inside, start = (
        (match["chord"], match.start("chord"))
        if match["chord"] is not None
        else (match["word"], match.start())
    )
    words = tuple(_word(word[0], shift + start + word.start()) for word in re.finditer(r"\S+", inside))
    if not words:
        return Fault(offset, "the parentheses are empty", "notes together are written (1 3 5)")
    return Group(words, offset, bars, grace)


def _word(text: str, offset: int) -> Word:
    return Word(text.replace("♭", "b").replace("♯", "#"), offset)


def count_facts(truth: Truth) -> int:
    """Counts what the notes say, grace notes left out."""
    return sum(len(moment.facts) for moment in truth if not moment.grace)


def render(truth: Truth, joint: str = " ") -> str:
    """Writes what the notes say in the grammar of the claims, bars and grace notes marked.

    Args:
        truth: The moments.
        joint: What parts them.
    """
    return joint.join(with_marks([moment.text for moment in truth], truth, bars=True))


def _in_parentheses(texts: list[str]) -> str:
    return texts[0] if len(texts) == 1 else f"({' '.join(texts)})"


def with_marks(texts: Sequence[str], moments: Truth, *, bars: bool) -> Iterator[str]:
    """Puts barlines between the texts of moments, and braces around those of grace notes."""
    neighbours = [None, *moments, None]
    for text, (before, moment), (_, after) in zip(
        texts, pairwise(neighbours[:-1]), pairwise(neighbours[1:]), strict=True
    ):
        if moment is None:
            continue
        if bars and before is not None:
            yield from "|" * (moment.bar - before.bar)
        opening = "{" if moment.grace and not (before and before.grace and before.bar == moment.bar) else ""
        closing = "}" if moment.grace and not (after and after.grace and after.bar == moment.bar) else ""
        yield f"{opening}{text}{closing}"
