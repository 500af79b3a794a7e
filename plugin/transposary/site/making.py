"""What is made of a device from its notes, in a worker, and kept for the next build.

These are the figures of its pages, its notes in words, its MIDI and MusicXML in every key, and what
other instruments read of it. The pages themselves need none of them until they are finished, so all
of it stays packed on the disk: the figures with their words, and the files, each to be read alone.
"""

from __future__ import annotations

import re
from base64 import b64decode, b64encode
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, cached_property

from transposary.cache import code_of, key_of
from transposary.engraving import Engraving, Job
from transposary.engraving.kept import (
    UNSOUND,
    are_ours,
    as_json,
    from_json,
    is_glyph,
    joined,
    packed,
    part_of,
    require,
    unpacked,
    without_places,
)
from transposary.engraving.midi import write_midi
from transposary.engraving.musicxml import write_musicxml
from transposary.engraving.works import Result, Signs
from transposary.glossary import Device, Kind
from transposary.passage import Passage
from transposary.site.parts import (
    WrittenPart,
    drawings_of,
    is_part_figure,
    part_addresses,
    part_figure,
    part_files,
    part_jobs,
    written_parts,
)
from transposary.site.worked import (
    AsPlayed,
    InKey,
    Worked,
    as_played,
    in_placement,
    labels,
    versions_of,
    without_words,
)
from transposary.theory.fingering.keys import HandFingering
from transposary.theory.keys import SLOTS
from transposary.theory.words import in_words

_CODE = (
    "engraving",
    "theory",
    "glossary.py",
    "notes.py",
    "passage.py",
    "pitch.py",
    "repeats.py",
    "repertoire",
    "site/making.py",
    "site/parts.py",
    "site/worked.py",
    "song.py",
    "stretches.py",
)
_MIDI, _SCORE = ".mid", ".musicxml"
_PARTS = 3
"""Parts of a pack: signs, figures with words, files."""

_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_XML = len(_HEAD)
_TAG = re.compile(r"<[^>]*>?")
_OUR_TAG = re.compile(r'</?[a-z-]+(?: (?!xmlns|href|src|on)[a-z-]+="[^"<>]*")*/?>')


@dataclass(frozen=True, slots=True)
class _Found:
    """Gives what was found, also in another process."""

    fingering: tuple[HandFingering, ...]

    def __call__(self) -> tuple[HandFingering, ...]:
        return self.fingering


@dataclass(frozen=True)
class Making:
    """The work of making all that; see `engraving.works.Work`.

    Attributes:
        device: The device, without what changes nothing in it.
        keys: Its twelve keys.
        versions: Its versions as played, each with the name of its figure.
        fingers: Gives fingers for it in every key.
    """

    device: Device
    keys: tuple[InKey, ...]
    versions: tuple[tuple[str, Passage], ...]
    fingers: Callable[[], tuple[HandFingering, ...]] = field(repr=False, compare=False)

    @classmethod
    def of(cls, worked: Worked) -> Making:
        """Takes what counts: prose and references may change without anything being made again."""
        bare = replace(without_words(worked.device), over=())
        versions = versions_of(worked.device).items()
        notations = tuple((figure, notation) for figure, (_, notation) in versions)
        return cls(bare, worked.keys, notations, lambda: worked.fingering)

    def ready(self) -> Making:
        """Gives it with its fingers found, which its page shows too."""
        return replace(self, fingers=_Found(self.fingers()))

    @property
    def slug(self) -> str:
        """The device."""
        return self.device.slug

    def key(self) -> str:
        """Makes the key in the cache: notes in other keys follow from those of the device."""
        code = code_of(*_CODE, libraries=("verovio", "mido"))
        where = [key.placement for key in self.keys]
        return key_of("device", code, without_places((self.device, where, self.versions)))

    def jobs(self) -> list[Job]:
        """Lists its figures: it in every key, its versions as played, and its parts."""
        return [*self._figures(), *part_jobs(self.slug, self._parts, labels(self.device.passage))]

    def _figures(self) -> Iterator[Job]:
        own_labels = labels(self.device.passage)
        # The one with the most sharps or flats is the widest.
        widest = max(self._passages.values(), key=lambda passage: abs(passage.key.signature))
        like = (widest, own_labels)
        for slot, passage in self._passages.items():
            yield Job(self.slug, slot, passage, own_labels, like=like)
        for one in self._played:
            own, version = (one.own, labels(one.own)), (one.passage, labels(one.passage))
            if one.together:
                yield Job(self.slug, one.figure, *version, above=own)
            else:
                yield Job(self.slug, one.own_figure, *own, beside=version)
                yield Job(self.slug, one.figure, *version, beside=own)

    def packed(self, results: Sequence[Result]) -> bytes:
        """Makes the rest from the figures, and packs all."""
        drawn = {one.slot: one for one in results if isinstance(one, Engraving)}
        shown = [one for name, one in drawn.items() if not is_part_figure(name)]
        signs = {glyph for name, one in drawn.items() if is_part_figure(name) for glyph in one.glyphs}
        words = {slot: in_words(passage) for slot, passage in self._passages.items()}
        files = {**dict(self._music()), **part_files(self.slug, self._parts, drawn)}
        texts = {name: _as_text(name, content) for name, content in files.items()}
        return joined([packed(sorted(signs)), packed([as_json(shown), words]), packed(texts)])

    def signs(self, data: bytes) -> Signs | None:
        """Reads the signs of its parts; None where they are none of ours."""
        try:
            signs = tuple((name, definition) for name, definition in unpacked(part_of(data, 0, _PARTS)))
            require(all(map(is_glyph, signs)))
        except UNSOUND:
            return None
        return signs

    @cached_property
    def _passages(self) -> dict[str, Passage]:
        """Its notes in every key, by slot."""
        home, fingering = self.device.passage, self.fingers()
        return {key.slot: in_placement(home, key.placement, fingering) for key in self.keys}

    @cached_property
    def _played(self) -> tuple[AsPlayed, ...]:
        return tuple(as_played(figure, self.device, notation) for figure, notation in self.versions)

    @cached_property
    def _parts(self) -> tuple[WrittenPart, ...]:
        return written_parts(self.device, self._passages)

    def _music(self) -> Iterator[tuple[str, bytes]]:
        for key in self.keys:
            title = f"{self.device.title} in {key.name}"
            tempo, passage = self.device.tempo, self._passages[key.slot]
            yield _midi(self.slug, key.slot), write_midi(passage, tempo=tempo, title=title)
            yield _score(self.slug, key.slot), write_musicxml(passage, title=title, tempo=tempo).encode()


@dataclass(frozen=True, slots=True)
class Drawn:
    """The figures of a device for its pages.

    Attributes:
        engravings: By name; one that failed is missing.
        words: Its notes in words, by slot.
    """

    engravings: Mapping[str, Engraving]
    words: Mapping[str, str]


def drawn_in(data: bytes, slug: str, played: Sequence[AsPlayed], failed: Collection[str]) -> Drawn | None:
    """Reads the figures from a pack; None where there is anything that we do not write.

    Args:
        data: The pack.
        slug: The device.
        played: Its versions as played.
        failed: The figures that could not be engraved.
    """
    names = [*SLOTS, *(name for one in played for name in figures_of(one))]
    try:
        drawn, words = unpacked(part_of(data, 1, _PARTS))
        engravings = from_json(slug, [name for name in names if name not in failed], drawn)
        require(list(words) == list(SLOTS) and all(isinstance(text, str) for text in words.values()))
    except UNSOUND:
        return None
    return Drawn({one.slot: one for one in engravings}, words)


def files_in(data: bytes, slug: str, failed: Collection[str]) -> Mapping[str, bytes] | None:
    """Reads the files from a pack, by address from the site's root; see `drawn_in`."""
    try:
        texts = unpacked(part_of(data, 2, _PARTS))
        require(set(texts) == {f"{folder_of(slug)}/{name}" for name in file_names(frozenset(failed))})
        parts = part_addresses(slug, SLOTS)
        drawn = [drawings_of(slug, parts[name], text) for name, text in texts.items() if name in parts]
        require(are_ours([svg for part in drawn for svg in part]))
        require(all(_is_score(text) for name, text in texts.items() if name.endswith(_SCORE)))
        return {name: _as_bytes(name, text) for name, text in texts.items()}
    except UNSOUND:
        return None


def folder_of(slug: str) -> str:
    """Gives the folder in which the files of a device lie, by address from the site's root."""
    return f"{Kind.DEVICE}/{slug}"


@cache
def file_names(failed: frozenset[str]) -> tuple[str, ...]:
    """Lists the files of a device by address from their folder; nearly all devices have the same.

    Args:
        failed: The figures that could not be engraved, without which a part has no file.
    """
    music = [f"{slot}{kind}" for slot in SLOTS for kind in (_MIDI, _SCORE)]
    parts = part_addresses("", SLOTS)
    left = [address for address, name in parts.items() if part_figure(name) not in failed]
    return (*music, *(address.removeprefix(f"{folder_of('')}/") for address in left))


def figures_of(played: AsPlayed) -> tuple[str, ...]:
    """Gives the names of the figures of a version as played."""
    return (played.figure,) if played.together else (played.own_figure, played.figure)


def _midi(slug: str, slot: str) -> str:
    return f"{folder_of(slug)}/{slot}{_MIDI}"


def _score(slug: str, slot: str) -> str:
    return f"{folder_of(slug)}/{slot}{_SCORE}"


def _as_text(name: str, content: bytes) -> str:
    return b64encode(content).decode() if name.endswith(_MIDI) else content.decode()


def _as_bytes(name: str, text: str) -> bytes:
    content = b64decode(text, validate=True) if name.endswith(_MIDI) else text.encode()
    require(not name.endswith(_MIDI) or content.startswith(b"MThd"))
    return content


def _is_score(text: str) -> bool:
    """Says whether a score has nothing but the elements and attributes of plain MusicXML."""
    xml, root = text[:_XML], text[_XML:]
    return xml == _HEAD and all(map(_OUR_TAG.fullmatch, set(_TAG.findall(root))))
