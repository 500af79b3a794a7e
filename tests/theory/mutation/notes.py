"""Passages with one note or one chord symbol changed, for the mutation test."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from transposary.passage import Chord, Event, Head, Passage, Symbol, Voice
from transposary.pitch import NoteName, Pitch
from transposary.theory.chords import parse_chord

Chain = list[tuple[int, int]]
QUALITIES = ("", "m", "7", "m7", "maj7", "dim7", "m7b5", "sus4")


def changed_notes(passage: Passage) -> Iterator[Passage]:
    """Changes one struck note: its pitch in four ways, or leaves it out."""
    for place, voice in enumerate(passage.voices):
        for number, chain in enumerate(_chains(voice)):
            event, head = chain[0]
            pitch = voice.events[event].heads[head].pitch
            others = (
                Pitch(pitch.step, pitch.alter + (1 if pitch.alter < 1 else -1)),
                Pitch(pitch.step + 1, pitch.alter),
                Pitch(pitch.step + 7, pitch.alter),
                _twin(pitch),
                None,
            )
            for other in others[number % 2 :: 2]:
                changed = _with(voice, chain, other)
                if changed is not None:
                    voices = (*passage.voices[:place], changed, *passage.voices[place + 1 :])
                    yield replace(passage, voices=voices)


def changed_lengths(passage: Passage) -> Iterator[Passage]:
    """Lets two neighbours in a bar exchange their lengths, or parts one note's attack from its beat."""
    for place, voice in enumerate(passage.voices):
        for index, (first, second) in enumerate(zip(voice.events, voice.events[1:], strict=False)):
            tied = any(head.tied for head in (*first.heads, *second.heads))
            held_in = index and any(head.tied for head in voice.events[index - 1].heads)
            same_bar = passage.bar_at(first.onset) == passage.bar_at(second.onset)
            if tied or held_in or not same_bar or first.duration == second.duration:
                continue
            events = list(voice.events)
            events[index] = replace(first, duration=second.duration)
            events[index + 1] = replace(second, onset=first.onset + second.duration, duration=first.duration)
            changed = replace(voice, events=tuple(events))
            yield replace(passage, voices=(*passage.voices[:place], changed, *passage.voices[place + 1 :]))


def changed_symbols(passage: Passage) -> Iterator[Passage]:
    """Changes one chord symbol: its root, quality, bass or moment, or leaves it out."""
    for place, symbol in enumerate(passage.symbols):
        for other in (*_other_symbols(symbol, place), None):
            kept = [*passage.symbols[:place], *([other] if other else []), *passage.symbols[place + 1 :]]
            if kept and kept == sorted(kept, key=lambda one: one.onset):
                yield replace(passage, symbols=tuple(kept))


def _other_symbols(symbol: Symbol, place: int) -> Iterator[Symbol]:
    chord = symbol.chord
    if chord is None:
        return
    for fifths in (1, -2, 7):
        yield replace(symbol, chord=replace(chord, root=NoteName(chord.root.fifths + fifths)))
    for turn in (0, 3):
        quality = QUALITIES[(place + turn) % len(QUALITIES)]
        other = parse_chord(f"{chord.root}{quality}")
        assert isinstance(other, Chord)
        yield replace(symbol, chord=replace(other, bass=chord.bass))
    yield replace(symbol, chord=replace(chord, bass=chord.tones[1].above(chord.root)))
    yield replace(symbol, chord=None)


def _chains(voice: Voice) -> list[Chain]:
    """Lists the heads of each struck note, ties followed."""
    found: list[Chain] = []
    open_chains: dict[Pitch, Chain] = {}
    for index, event in enumerate(voice.events):
        still: dict[Pitch, Chain] = {}
        for place, head in enumerate(event.heads):
            chain = open_chains.get(head.pitch)
            if chain is None:
                chain = []
                found.append(chain)
            chain.append((index, place))
            if head.tied:
                still[head.pitch] = chain
        open_chains = still
    return found


def _with(voice: Voice, chain: Chain, pitch: Pitch | None) -> Voice | None:
    events = list(voice.events)
    for index, place in chain:
        event = events[index]
        others = [*event.heads[:place], *event.heads[place + 1 :]]
        if pitch is not None:
            if any(head.pitch.midi == pitch.midi for head in others):
                return None
            others.append(replace(event.heads[place], pitch=pitch))
        heads = tuple(sorted(others, key=_height))
        events[index] = _struck(event, heads)
    return replace(voice, events=tuple(events))


def _struck(event: Event, heads: tuple[Head, ...]) -> Event:
    return replace(event, heads=heads, graces=event.graces if heads else ())


def _height(head: Head) -> tuple[int, int]:
    return head.pitch.midi, head.pitch.step


def _twin(pitch: Pitch) -> Pitch | None:
    """Spells a pitch from the letter above."""
    above = Pitch(pitch.step + 1)
    alter = pitch.midi - above.midi
    return Pitch(above.step, alter) if -2 <= alter <= 0 else None


def first_bars(passage: Passage, count: int) -> Passage:
    """Cuts a passage after so many bars."""
    bars = passage.bars[:count]
    end: Fraction = bars[-1].end
    voices = tuple(
        replace(voice, events=tuple(_cut(event, end) for event in voice.events if event.onset < end))
        for voice in passage.voices
    )
    symbols = tuple(symbol for symbol in passage.symbols if symbol.onset < end)
    return replace(passage, bars=bars, voices=voices, symbols=symbols)


def _cut(event: Event, end: Fraction) -> Event:
    if event.end < end:
        return event
    return replace(event, heads=tuple(replace(head, tied=False) for head in event.heads))
