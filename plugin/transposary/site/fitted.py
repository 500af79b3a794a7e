"""Where a device fits, and it carried over to the best place of each song, from the cache where known.

Both take longer than all else that a build without changes does for a device, since every song may
count. What is kept says in words what the pages say; the notes of a device carried over are found
again only where they have to be engraved. As with engravings, a cache may come from a stranger: what
is read is text, which is escaped wherever it lands, and bars that the songs have.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass, field, replace
from functools import cached_property
from typing import Any, TypeVar, cast

from transposary.cache import Cache, code_of, is_key, key_of
from transposary.engraving import Job
from transposary.engraving.kept import UNSOUND, key_of_jobs, packed, require, unpacked, without_places
from transposary.glossary import Device
from transposary.notes import notes
from transposary.passage import Key, Mode
from transposary.pitch import NoteName
from transposary.repertoire import Fit, repertoire_of, runs_of_fit
from transposary.repertoire.carrying import carry_to, landing_of_fit
from transposary.repertoire.fits import Found, Parts, find_fits
from transposary.repertoire.index import Index
from transposary.repertoire.judging import voiced
from transposary.repertoire.landing import Refusal
from transposary.site.worked import labels, without_words
from transposary.song import Song
from transposary.theory.keys import WIDEST_SIGNATURE
from transposary.theory.words import in_words

T = TypeVar("T")

_CODE = (
    "cache.py",
    "engraving",
    "glossary.py",
    "notes.py",
    "passage.py",
    "pitch.py",
    "repertoire",
    "site/fitted.py",
    "site/worked.py",
    "song.py",
    "theory",
)


@dataclass(frozen=True, slots=True)
class There:
    """A device carried over to the best of the places where it fits in a song.

    Attributes:
        fit: The place.
        refusal: Why it cannot be carried over; empty where it can, and where the rest is known.
        key: The key in which it is written there, or None.
        degrees: Degrees that moved into the other mode: `3 becomes ♭3`.
        changes: What else has to change, in words.
        clashes: Notes that clash there, in words.
        words: Its notes there in words.
        fifths: Their names on the line of fifths.
        drawing: The key of its engraving in the cache.
    """

    fit: Fit
    refusal: str
    key: Key | None = None
    degrees: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    clashes: tuple[str, ...] = ()
    words: str = ""
    fifths: tuple[int, ...] = ()
    drawing: str = ""

    @property
    def figure(self) -> str:
        """Name of its figure, in the place of a slot."""
        return f"in-{self.fit.song}"


@dataclass(frozen=True, slots=True)
class Fitted:
    """Where a device fits.

    Attributes:
        fits: The places, the best ones first.
        carried: It carried over to the best place of each song, in the same order.
    """

    fits: tuple[Fit, ...]
    carried: tuple[There, ...]
    _made: dict[int, object] = field(default_factory=dict, repr=False, compare=False)

    def once(self, fit: Fit, make: Callable[[], T]) -> T:
        """Gives what is shown of a place on several pages, made once; other songs make other places."""
        place = id(fit)
        if place not in self._made:
            self._made[place] = make()
        return cast("T", self._made[place])


@dataclass(frozen=True)
class Fitting:
    """Finds where devices fit in songs.

    Attributes:
        songs: The songs.
        cache: Where what was found stays for the next build.
    """

    songs: Sequence[Song]
    cache: Cache

    def known(self, device: Device) -> Fitted | None:
        """Gives what an earlier build has found; None where there is none that is sound."""
        data = self.cache.get(self._key(device))
        return None if data is None else self._read(data)

    def find(self, device: Device) -> tuple[Fitted, tuple[Job, ...]]:
        """Finds where a device fits; gives also what is to be engraved of it there."""
        heard = voiced(device)
        found = find_fits(device, self._repertoire, heard)
        best: dict[str, Found] = {}
        for one in found:
            best.setdefault(one.fit.song, one)
        carried, jobs = [], []
        for one in best.values():
            there = There(one.fit, "")
            over = carry_to(device, landing_of_fit(device, one), heard)
            if isinstance(over, Refusal):
                carried.append(replace(there, refusal=over.text))
                continue
            notation = over.passage
            job = Job(device.slug, there.figure, notation, labels(notation))
            jobs.append(job)
            carried.append(
                There(
                    one.fit,
                    "",
                    notation.key,
                    over.degrees,
                    over.changes,
                    over.clashes,
                    in_words(notation),
                    tuple(note.pitch.name.fifths for note in notes(notation)),
                    key_of_jobs([job]),
                )
            )
        fitted = Fitted(tuple(one.fit for one in found), tuple(carried))
        self.cache.put(self._key(device), packed(_record(fitted)))
        return fitted, tuple(jobs)

    @cached_property
    def _repertoire(self) -> Index:
        return repertoire_of(self.songs)

    @cached_property
    def _by_slug(self) -> dict[str, Song]:
        return {song.slug: song for song in self.songs}

    @cached_property
    def _around(self) -> str:
        bare = (replace(song, aliases=(), genres=(), draft=False, prose="") for song in self.songs)
        return key_of(code_of(*_CODE, libraries=("verovio",)), *map(without_places, bare))

    def _key(self, device: Device) -> str:
        return key_of("fits", self._around, without_places(without_words(device)))

    def _read(self, data: bytes) -> Fitted | None:
        try:
            fits, carried = unpacked(data)
            places = tuple(self._fit(*one) for one in fits)
            return Fitted(places, tuple(_there(places[at], *rest) for at, *rest in carried))
        except (*UNSOUND, IndexError):
            return None

    def _fit(self, *record: Any) -> Fit:  # noqa: ANN401  (whatever a stranger wrote)
        song, section, first, last, number, times, tonic, parts, adapted, reason = record
        require(all(type(one) is int for one in (first, last, number, tonic, *times)))
        require(all(type(one) is float and 0 <= one <= 1 for one in parts))
        require(_are_texts((*adapted, reason)) and abs(tonic) <= WIDEST_SIGNATURE * 2)
        numbers = (first, last, number, tuple(times))
        fit = Fit(song, section, *numbers, NoteName(tonic), Parts(*parts), tuple(adapted), reason)
        require(self._is_there(fit))
        return fit

    def _is_there(self, fit: Fit) -> bool:
        """Tells whether a song has the bars of a fit."""
        runs = runs_of_fit(self._by_slug[fit.song], fit)
        return bool(runs) and len(runs) == len(fit.times) and 0 <= fit.last - fit.first < len(runs[0])


def _there(fit: Fit, *record: Any) -> There:  # noqa: ANN401  (whatever a stranger wrote)
    refusal, tonic, mode, degrees, changes, clashes, words, fifths, drawing = record
    require(_are_texts((refusal, *degrees, *changes, *clashes, *words.split("\n"), drawing)))
    if refusal:
        return There(fit, refusal)
    require(all(type(one) is int for one in (tonic, *fifths)))
    key = Key(NoteName(tonic), Mode(mode))
    require(abs(key.signature) <= WIDEST_SIGNATURE and is_key(drawing))
    said = (tuple(degrees), tuple(changes), tuple(clashes))
    return There(fit, "", key, *said, words, tuple(fifths), drawing)


def _are_texts(values: Sequence[object]) -> bool:
    return all(isinstance(one, str) and one.isprintable() for one in values)


def _record(fitted: Fitted) -> object:
    places = {id(fit): at for at, fit in enumerate(fitted.fits)}
    carried = [[places[id(one.fit)], *_told(one)] for one in fitted.carried]
    return [[_placed(fit) for fit in fitted.fits], carried]


def _placed(fit: Fit) -> list[object]:
    bars = [fit.song, fit.section, fit.first, fit.last, fit.number, fit.times]
    return [*bars, fit.tonic.fifths, astuple(fit.parts), fit.adapted, fit.reason]


def _told(there: There) -> list[object]:
    tonic, mode = (None, None) if there.key is None else (there.key.tonic.fifths, there.key.mode)
    said = [there.degrees, there.changes, there.clashes, there.words, there.fifths, there.drawing]
    return [there.refusal, tonic, mode, *said]
