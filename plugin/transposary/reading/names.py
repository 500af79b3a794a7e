"""The names by which entries are found, and the references that use them.

Names match without regard to case, accents, spaces and hyphens. A slug, a title and an alias
are names alike, and within a kind each belongs to one entry.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from transposary.glossary import Concept, Device, Entry, Kind, Ref, matching_name, slug_of
from transposary.problems import Place, Problem
from transposary.reading.gathering import Gathering
from transposary.reading.nearest import nearest, slip_of
from transposary.reading.refs import with_refs


@dataclass(frozen=True, slots=True)
class Named:
    """One name of an entry.

    Attributes:
        name: As the author wrote it.
        what: How messages call it: `title`, `alias` or `file name`.
        place: Where it stands.
        slug: The entry's.
    """

    name: str
    what: str
    place: Place
    slug: str


def index_names(names: Iterable[Named]) -> tuple[Mapping[str, Named], tuple[Problem, ...]]:
    """Pairs the names of one kind, folded for matching, with their entries.

    Returns:
        The index, and the names that two entries claim: they stay with the first.
    """
    index: dict[str, Named] = {}
    problems: list[Problem] = []
    for one in names:
        owner = index.setdefault(matching_name(one.name), one)
        if owner.slug != one.slug:
            text = (
                f"the {one.what} `{one.name}` is taken: "
                f"it is the {owner.what} of another entry ({owner.place.file}:{owner.place.line})"
            )
            problems.append(
                Problem(one.place, "entry.name", text, f"change one of the two {_plural(one, owner)}")
            )
    return index, tuple(problems)


def _plural(one: Named, owner: Named) -> str:
    if one.what != owner.what:
        return "names"
    return "aliases" if one.what == "alias" else f"{one.what}s"


class Resolver:
    """Finds the entries that references mean, and gathers what is wrong with references."""

    def __init__(
        self,
        names: Mapping[Kind, Mapping[str, Named]],
        readable: Mapping[Kind, frozenset[str]],
        terms: Mapping[str, str],
    ) -> None:
        """Takes what there is.

        Args:
            names: The names by kind, folded for matching.
            readable: The slugs of entries without errors, by kind.
            terms: Slugs of concepts that other glossaries define, by folded name: they stand in
                where this one has no concept of that name.
        """
        self._names = names
        self._readable = readable
        self._terms = terms
        self._found = Gathering()
        self._undefined: dict[str, Ref] = {}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with the references resolved so far."""
        return tuple(self._found.problems)

    def undefined(self) -> tuple[Concept, ...]:
        """Makes an entry for each concept that is named and that nobody wrote."""
        return tuple(
            Concept(slug=slug, title=ref.name, place=ref.place, defined=False)
            for slug, ref in self._undefined.items()
        )

    def resolve(self, entry: Entry) -> Entry:
        """Fills in the references of an entry."""
        heard = {one.song for one in entry.heard_in} if isinstance(entry, Device) else set()
        return with_refs(entry, lambda kind, ref: self._found_ref(kind, ref, heard=ref in heard))

    def _found_ref(self, kind: Kind, ref: Ref, *, heard: bool) -> Ref:
        return self._concept(ref) if kind is Kind.CONCEPT else self._known(kind, ref, heard=heard)

    def _known(self, kind: Kind, ref: Ref, *, heard: bool) -> Ref:
        """Resolves a reference to what must be written somewhere, but for music that was only heard."""
        named = self._names[kind].get(matching_name(ref.name))
        if named is None:
            near = nearest(ref.name, self._slugs(kind))
            hint = f"did you mean `{near}`?" if near else f"write {kind.value}/{slug_of(ref.name) or '…'}.md"
            if heard and not near:
                hint += ", or `title:` in place of `song:` for music that has no entry"
            text = f"expected a {kind.noun} of the glossary, found `{ref.name}`"
            self._found.error(ref.place, f"reference.{kind.noun}", text, hint)
            return ref
        return self._to(kind, ref, named.slug)

    def _concept(self, ref: Ref) -> Ref:
        """Resolves a reference to a concept, which need not be written yet."""
        folded = matching_name(ref.name)
        named = self._names[Kind.CONCEPT].get(folded)
        if named:
            return self._to(Kind.CONCEPT, ref, named.slug)
        if folded in self._terms:
            return replace(ref, slug=self._terms[folded])
        slip = slip_of(ref.name, (one.name for one in self._names[Kind.CONCEPT].values()))
        slug = slug_of(ref.name)
        if slip:
            text = f"expected a concept, found `{ref.name}`, almost the name of another"
            hint = f"did you mean `{slip}`? If not, write concepts/{slug}.md first"
            self._found.error(ref.place, "reference.concept", text, hint)
            return ref
        if not slug:
            text = f"the name of a concept has letters a to z or digits, found `{ref.name}`"
            self._found.error(
                ref.place, "reference.concept", text, "write its page, with this name as an alias"
            )
            return ref
        known = next((one for one in self._undefined if matching_name(one) == matching_name(slug)), None)
        if known is None:
            self._undefined[slug] = ref
            self._found.problems.append(_undefined(ref, slug))
        return replace(ref, slug=known or slug)

    def _to(self, kind: Kind, ref: Ref, slug: str) -> Ref:
        return replace(ref, slug=slug) if slug in self._readable[kind] else ref

    def _slugs(self, kind: Kind) -> Sequence[str]:
        return [named.name for named in self._names[kind].values()]


def _undefined(ref: Ref, slug: str) -> Problem:
    text = f"nobody has written yet what the concept `{ref.name}` means"
    hint = f'write concepts/{slug}.md, or run: transposary new concept "{ref.name}"'
    return Problem.remark(ref.place, "concept.undefined", text, hint)
