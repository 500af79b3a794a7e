"""The pages of the keys: every device, as it is in that key."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from transposary.glossary import Kind
from transposary.passage import Mode
from transposary.pitch import pretty
from transposary.site.edition import Edition
from transposary.site.links import KEYS, Link, called, key_page, source_of
from transposary.site.page import Page
from transposary.site.pages.common import BarsOfChords, chords_by_bar, part_moves
from transposary.site.pages.indexes import Item, ListView, count_words
from transposary.site.text import readable
from transposary.site.worked import Worked
from transposary.theory.degrees import degree_text
from transposary.theory.hands import VOICES
from transposary.theory.keys import SLOTS, pretty_key, slot_of, tonic_of

_Degrees = tuple[tuple[str, str], ...]
_TOGETHER = re.compile(r"[({][^)}]*[)}]")


@dataclass(frozen=True, slots=True)
class InThisKey:
    """A device in the key of the page.

    Attributes:
        device: Its engraving in this key.
        key: The key with its mode: `C♯ minor`.
        tonic: Place of its tonic on the line of fifths.
        moves: What a part adds to names in the key (`part_moves`).
        chords: Its chords there, bar by bar.
        voices: Its degrees by voice.
    """

    device: Link
    key: str
    tonic: int
    moves: tuple[int, ...]
    chords: BarsOfChords
    voices: _Degrees


@dataclass(frozen=True, slots=True)
class KeyView:
    """What the page of a key shows."""

    devices: tuple[InThisKey, ...]
    songs: tuple[Item, ...]
    others: tuple[Link, ...]


def keys_index(edition: Edition) -> Page:
    """Makes the page with the doors to the twelve keys."""
    homes = [worked.home.slot for worked in edition.worked.values()]
    songs = [slot_of(song.key.tonic) for song in edition.glossary.songs]
    items = tuple(
        Item(Link(slot_words(edition, slot), key_page(slot)), _who_lives_here(homes, songs, slot))
        for slot in SLOTS
    )
    return Page(KEYS, "Keys", "keys", ListView(items), "Every device, key by key.", listed=True)


def _who_lives_here(homes: Sequence[str], songs: Sequence[str], slot: str) -> str:
    learnt, played = homes.count(slot), songs.count(slot)
    said = [f"{count_words(learnt, 'device')} learnt in it"] if learnt else []
    said += [f"{count_words(played, 'song')} in it"] if played else []
    return ", ".join(said)


def key_pages(edition: Edition) -> tuple[Page, ...]:
    """Makes the pages of the twelve keys."""
    devices = sorted(edition.worked.values(), key=lambda w: (w.device.title.casefold(), w.device.slug))
    # Degrees are the same in every key, so they are counted once for all twelve pages.
    counted = [(worked, worked.once(_degrees)) for worked in devices]
    return tuple(_key_page(edition, slot, counted) for slot in SLOTS)


def slot_words(edition: Edition, slot: str) -> str:
    """Names a slot by its tonics in major and minor: `D♭ or C♯`."""
    tonics = (tonic_of(slot, mode, edition.settings.tonics) for mode in (Mode.MAJOR, Mode.MINOR))
    return " or ".join(dict.fromkeys(pretty(str(tonic)) for tonic in tonics))


def _key_page(edition: Edition, slot: str, counted: Sequence[tuple[Worked, _Degrees]]) -> Page:
    view = KeyView(
        devices=tuple(_in_this_key(edition, worked, slot, degrees) for worked, degrees in counted),
        songs=tuple(
            Item(Link(called(song), source_of(Kind.SONG, song.slug)), pretty_key(song.key))
            for song in edition.glossary.songs
            if song.key.tonic.pitch_class == SLOTS.index(slot)
        ),
        others=tuple(
            Link(slot_words(edition, other), key_page(other) if other != slot else None) for other in SLOTS
        ),
    )
    title = f"Everything in {slot_words(edition, slot)}"
    return Page(key_page(slot), title, "key", view, f"{title}.")


def _in_this_key(edition: Edition, worked: Worked, slot: str, degrees: _Degrees) -> InThisKey:
    key = worked.in_slot(slot)
    link = Link(called(worked.device), source_of(Kind.DEVICE, worked.device.slug) + f"#{slot}")
    spelled = key.placement.key
    moves = part_moves(spelled, edition.settings.tonics)
    chords = worked.once(_chords)[slot]
    return InThisKey(link, key.name, spelled.tonic.fifths, moves, chords, degrees)


def _chords(worked: Worked) -> dict[str, BarsOfChords]:
    return {key.slot: chords_by_bar(worked.chords_in(key)) for key in worked.keys}


def _degrees(worked: Worked) -> _Degrees:
    passage = worked.device.passage
    texts = ((VOICES[one.name], readable(degree_text(passage, one.name))) for one in passage.voices)
    return tuple((voice, _unbroken(text)) for voice, text in texts)


def _unbroken(degrees: str) -> str:
    """Keeps what is struck together in one line."""
    return _TOGETHER.sub(lambda found: found[0].replace(" ", "\N{NO-BREAK SPACE}"), degrees)
