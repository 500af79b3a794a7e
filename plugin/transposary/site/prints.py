"""What workers have made, as a site shows it: read from the disk when it is wanted, a few devices at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from functools import partial
from typing import TypeVar, cast

from transposary.cache import Packs, code_of, key_of
from transposary.engraving import Engraving
from transposary.engraving.kept import Figures, figures_in
from transposary.engraving.pool import not_made_again, opened
from transposary.engraving.works import Done
from transposary.site.figures import fill, placeholders
from transposary.site.filed import Bundle, Filed, Filing, in_memory
from transposary.site.fitted import Fitted, Fitting, There
from transposary.site.later import later_file, later_name
from transposary.site.making import Drawn, Making, drawn_in, file_names, files_in, folder_of
from transposary.site.pages.find import find_file, find_name
from transposary.site.parts import GLYPHS, glyphs_file
from transposary.site.worked import Worked

_T = TypeVar("_T")
_MOST_OPEN = 4
"""How many devices are open at once: a page shows one, or several one after another."""


@dataclass(frozen=True, slots=True)
class Prints:
    """Figures and files of all devices, in packs on the disk.

    Attributes:
        packs: The packs.
        executor: Gives what makes again what is not there as we write it.
        worked: The devices, by slug.
        fitting: Finds again what is to be engraved of a device carried over to a song.
        fitted: Where the devices fit, by slug.
        made: What was made of each device, by slug.
        there: The figures of devices carried over, by slug and name of the figure.
    """

    packs: Packs
    executor: Callable[[], AbstractContextManager[Executor]]
    worked: Mapping[str, Worked]
    fitting: Fitting
    fitted: Mapping[str, Fitted]
    made: Mapping[str, Done]
    there: Mapping[tuple[str, str], Done]
    _open: dict[tuple[str, str], object] = field(default_factory=dict, repr=False, compare=False)

    def finish(self, html: str) -> str:
        """Puts the engravings into a finished page, and their notes in words."""
        engravings: dict[tuple[str, str], Engraving] = {}
        words: dict[tuple[str, str], str] = {}
        wanted = [key for key in placeholders(html) if key[0] in self.made]
        for slug in dict.fromkeys(slug for slug, _ in wanted):
            drawn = self.drawn(slug)
            said = {**drawn.words, **self.worked[slug].said}
            names = [name for one, name in wanted if one == slug]
            engravings |= {(slug, name): drawn.engravings[name] for name in names if name in drawn.engravings}
            words |= {(slug, name): said[name] for name in names if name in said}
        return fill(html, engravings, words)

    def origins(self, html: str) -> tuple[str | None, ...]:
        """Tells what finishing would put into a page: from equal origins come equal pages."""
        made = self.made
        return tuple(made[slug].key if slug in made else None for slug, _ in placeholders(html))

    def drawn(self, slug: str) -> Drawn:
        """Reads the figures of a device."""
        played, failed = self.worked[slug].played, self.made[slug].failed
        return self._read("drawn", slug, lambda data: drawn_in(data, slug, played, failed))

    def files(self, slug: str) -> Mapping[str, bytes]:
        """Reads the files of a device, by address from the site's root."""
        failed = self.made[slug].failed
        return self._read("files", slug, lambda data: files_in(data, slug, failed))

    def figure_there(self, slug: str, figure: str) -> Engraving | None:
        """Reads the figure of a device carried over to a song; None where it could not be engraved."""
        done = self.there[slug, figure]
        if done.failures:
            return None
        read = partial(figures_in, slug=slug, slots=[figure])
        return opened(done, self.packs, read, partial(self._work_there, slug, figure), self.executor)[0]

    def _work_there(self, slug: str, figure: str) -> Figures:
        _, jobs = self.fitting.find(self.worked[slug].device)
        wanted = tuple(job for job in jobs if job.slot == figure)
        if not wanted:
            raise not_made_again(slug, [figure])
        return Figures(wanted)

    def _read(self, what: str, slug: str, read: Callable[[bytes], _T | None]) -> _T:
        if (what, slug) not in self._open:
            if len(self._open) == _MOST_OPEN:
                del self._open[next(iter(self._open))]
            work = partial(Making.of, self.worked[slug])
            self._open[what, slug] = opened(self.made[slug], self.packs, read, work, self.executor)
        return cast("_T", self._open[what, slug])


def filing_of(prints: Prints, exports: Mapping[str, bytes]) -> Filing:
    """Files what workers have made, and what else a site has, by address from its root."""
    bundles = {folder_of(slug): _bundle(prints, slug) for slug in prints.made}
    single = {address: in_memory(content) for address, content in exports.items()}
    for slug in prints.made:
        single |= _found(prints, slug)
    for slug, one in prints.fitted.items():
        for there in one.carried:
            if (slug, there.figure) in prints.there:
                single[later_name(slug, there.figure)] = _later(prints, slug, there)
    if prints.made:
        # Where there are no parts, nobody asks for their signs.
        signs = {sign for done in prints.made.values() for sign in done.signs}
        single[GLYPHS] = in_memory(glyphs_file(signs))
    return Filing(bundles, single)


def _bundle(prints: Prints, slug: str) -> Bundle:
    done = prints.made[slug]
    names = file_names(done.failed)
    return Bundle(done.key, names, lambda name: prints.files(slug)[f"{folder_of(slug)}/{name}"])


def _found(prints: Prints, slug: str) -> dict[str, Filed]:
    """Files the small engraving of a device."""
    done, home = prints.made[slug], prints.worked[slug].home.slot
    if home in done.failed:
        return {}
    code = code_of("site/pages/find.py", "engraving/figures.py")
    origin = key_of("find", code, home, done.key)
    return {find_name(slug): Filed(origin, lambda: find_file(prints.drawn(slug).engravings[home]))}


def _later(prints: Prints, slug: str, there: There) -> Filed:
    """Files the figure of a device carried over to a song."""
    code = code_of("site/later.py", "site/figures.py", "engraving/figures.py", libraries=("markupsafe",))
    origin = key_of("later", code, prints.there[slug, there.figure].key, there.words)
    return Filed(origin, partial(_written_later, prints, slug, there))


def _written_later(prints: Prints, slug: str, there: There) -> bytes:
    return later_file(prints.figure_there(slug, there.figure), there.words, there.fifths)
