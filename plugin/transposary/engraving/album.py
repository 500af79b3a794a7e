"""Several pieces as one MusicXML score, one after another, each with its title.

A partwise score is the one form that every program opens; the standard's own form for
several pieces (`opus`) only names other files.

Source: MusicXML 4.0 XSD, elements `print`, `direction`, `rehearsal` and attribute `measure-number`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from html import escape

from transposary.engraving.musicxml import write_musicxml
from transposary.passage import Bar, Clef, Event, Hand, Passage, Symbol, Voice
from transposary.song import PlayedBar, Song

_MEASURE = re.compile(r'<measure number="(X?)\d+"')
_FIRST = re.compile(
    r'(<measure [^>]*>)(<barline location="left">.*?</barline>)?(<attributes>.*?</attributes>)'
)


@dataclass(frozen=True, slots=True)
class AlbumItem:
    """A piece of an album.

    Attributes:
        title: What stands above its first bar.
        passage: Its notes.
        tempo: Beats a minute, counting the meter's beat, or None.
    """

    title: str
    passage: Passage
    tempo: int | None


def write_album(pieces: Sequence[AlbumItem], *, title: str) -> str:
    """Writes pieces as one MusicXML 4.0 partwise score on as many staves as the widest needs.

    Bars are numbered through; each piece begins a system with its own key, meter and clefs.

    Args:
        pieces: At least one.
        title: Title of the whole.

    Raises:
        ValueError: A duration cannot be written in note values.
    """
    hands = {hand for piece in pieces for hand in piece.passage.hands}
    both = tuple(hand for hand in Hand if hand in hands)
    scores = [
        write_musicxml(_with_hands(piece.passage, both), title=title, tempo=piece.tempo) for piece in pieces
    ]
    head, tail = scores[0].split('<part id="P1">')[0], "</part></score-partwise>\n"
    inside: list[str] = []
    bars = 0
    for piece, score in zip(pieces, scores, strict=True):
        music = score.split('<part id="P1">')[1].removesuffix(tail)
        music, bars = _numbered(music, bars)
        inside.append(_begun(music, piece.title, first=not inside))
    return f'{head}<part id="P1">{"".join(inside)}{tail}'


def _numbered(music: str, before: int) -> tuple[str, int]:
    """Numbers the bars after those before; what continues a divided bar has the number of its piece."""
    number = before

    def numbered(match: re.Match[str]) -> str:
        nonlocal number
        number += 1
        return f'<measure number="{match[1]}{number}"'

    return _MEASURE.sub(numbered, music), number


def _begun(music: str, title: str, *, first: bool) -> str:
    """Sets the title above the first bar, and begins a system there."""
    printed = "" if first else '<print new-system="yes"/>'
    words = (
        '<direction placement="above"><direction-type>'
        f'<words font-weight="bold">{escape(title)}</words></direction-type></direction>'
    )

    def opened(match: re.Match[str]) -> str:
        return f"{match[1]}{printed}{match[2] or ''}{match[3]}{words}"

    return _FIRST.sub(opened, music, count=1)


def _with_hands(passage: Passage, hands: Sequence[Hand]) -> Passage:
    """Gives the hands that do not play rests of their own, so that all pieces share their staves."""
    silent = [hand for hand in hands if hand not in passage.hands]
    rests = [_resting(hand, passage.bars) for hand in silent]
    order = ("RH", "RH2", "LH", "LH2")
    voices = sorted((*passage.voices, *rests), key=lambda voice: order.index(voice.name))
    return replace(passage, voices=tuple(voices))


def _resting(hand: Hand, bars: Sequence[Bar]) -> Voice:
    clef = Clef.TREBLE if hand is Hand.RIGHT else Clef.BASS
    start = bars[0].onset
    return Voice(hand.value, tuple(Event(bar.onset, bar.duration) for bar in bars), ((start, clef),))


def chart_passage(song: Song) -> Passage:
    """Gives the chart of a song as bars of rests under their chord symbols, as the form plays them."""
    bars = tuple(_bars(song))
    charted = list(zip(song.played, bars, strict=True))
    keys = [(bar.onset, played.bar.key) for played, bar in charted]
    changes = (one for place, one in enumerate(keys) if not place or one[1] != keys[place - 1][1])
    symbols = (symbol for played, bar in charted for symbol in _symbols(played, bar))
    return Passage(tuple(changes), bars, (_resting(Hand.RIGHT, bars),), tuple(symbols))


def _bars(song: Song) -> Iterator[Bar]:
    lengths = [sum((chord.length for chord in one.bar.chords), Fraction(0)) for one in song.played]
    onset = -lengths[0] if song.played[0].number == 0 else Fraction(0)
    for played, length in zip(song.played, lengths, strict=True):
        yield Bar(played.number, onset, length, played.bar.meter)
        onset += length


def _symbols(played: PlayedBar, bar: Bar) -> Iterator[Symbol]:
    onset = bar.onset
    for chord in played.bar.chords:
        yield Symbol(onset, bar.number, chord.chord)
        onset += chord.length
