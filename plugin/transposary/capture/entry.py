"""What was captured, as the text of a draft entry and as words for the player."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePath

from transposary.capture.proposals import propose_concepts, propose_role, true_claims
from transposary.capture.transcribing import Captured
from transposary.glossary import Concept, Glossary, Kind, Role, matching_name
from transposary.passage import STRAIGHT
from transposary.reading.abc import write_abc
from transposary.reading.skeletons import prose_to_write, summary_to_write
from transposary.reading.tree import quoted
from transposary.song import Song
from transposary.theory.explanation import explain
from transposary.theory.harmony import harmony_text
from transposary.theory.keys import pretty_key
from transposary.theory.words import in_words


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands above the notes.

    Attributes:
        title: The title.
        role: The role; None to propose one.
        song: The song in which it was heard, by slug, or None.
    """

    title: str
    role: Role | None
    song: str | None


def draft_entry(captured: Captured, heading: Heading, concepts: Sequence[Concept]) -> str:
    """Writes the entry.

    Args:
        captured: The notes.
        heading: What stands above them.
        concepts: Those of the glossary; others are proposed as a comment.

    Raises:
        ValueError: The notes cannot be written as ABC.
    """
    passage = captured.passage
    seen = explain(captured.suggested or passage)
    role = heading.role or propose_role(passage, seen)
    known, unknown = _parted(propose_concepts(passage, seen), concepts)
    feel = captured.feel
    lines = [
        "---",
        f"title: {quoted(heading.title)}",
        f"summary: {quoted(summary_to_write(heading.title))}",
        f"role: {role}",
        *([f"concepts: [{', '.join(known)}]"] if known else []),
        *([f"# concepts that may be worth an entry: {', '.join(unknown)}"] if unknown else []),
        "# genres: [soul]",
        *([f"feel: {feel}"] if feel is not None and feel != STRAIGHT else []),
        *([f"tempo: {captured.tempo}"] if captured.tempo else []),
        *_over(captured),
        "notation: |",
        *(f"  {line}" for line in write_abc(passage).splitlines()),
        *_theory(captured),
        *([f"heard_in:\n  - song: {heading.song}"] if heading.song else []),
        "---",
        prose_to_write(Kind.DEVICE, heading.title),
        "",
    ]
    return "\n".join(lines)


def _parted(names: Iterable[str], concepts: Sequence[Concept]) -> tuple[list[str], list[str]]:
    """Parts names into concepts of the glossary, by slug, and others."""
    slugs = {
        matching_name(name): concept.slug
        for concept in concepts
        if concept.defined
        for name in (concept.slug, concept.title, *concept.aliases)
    }
    known: dict[str, None] = {}
    unknown = []
    for name in names:
        slug = slugs.get(matching_name(name.replace("–", "-")))
        if slug is None:
            unknown.append(name)
        else:
            known[slug] = None
    return list(known), unknown


def _over(captured: Captured) -> Iterator[str]:
    if captured.passage.symbols:
        return
    said = harmony_text(captured.suggested) if captured.suggested else ""
    minor = captured.passage.key.mode in ("minor", "dorian", "phrygian")
    yield f"over: {quoted(said or ('i' if minor else 'I'))}  # guessed: what a chart shows where it is played"


def _theory(captured: Captured) -> Iterator[str]:
    claims = true_claims(captured.passage)
    if claims:
        yield "theory:"
    for name in dict.fromkeys(name for name, _, _ in claims):
        own = [(scope, text) for other, scope, text in claims if other == name]
        if own[0][0] is None:
            yield f"  {name}: {quoted(own[0][1])}"
        else:
            yield f"  {name}:"
            yield from (f"    {scope}: {quoted(text)}" for scope, text in own)


def in_players_words(captured: Captured) -> str:
    """Says what was captured, and what is not sure of it."""
    lines = [in_words(captured.passage)]
    found = captured.key
    if found is not None:
        sure = "sure" if found.sure else "not sure"
        first, second = pretty_key(found.first.key), pretty_key(found.second.key)
        lines.append(f"Key: {first} ({sure}); if not, {second}.")
    if captured.tempo:
        feel = captured.feel or STRAIGHT
        lines.append(f"Tempo: {captured.tempo} beats a minute, {feel}.")
    if captured.suggested is not None:
        lines.append(f"Chords that it suggests: {harmony_text(captured.suggested)}.")
    if captured.doubts:
        lines += ["Not sure:", *(f"- {doubt}" for doubt in captured.doubts)]
    return "\n".join(lines)


def song_named(glossary: Glossary, name: str) -> Song | None:
    """Finds a song by any of its names."""
    wanted = matching_name(name)
    return next(
        (
            song
            for song in glossary.songs
            if wanted in {matching_name(one) for one in (song.slug, song.title, *song.aliases)}
        ),
        None,
    )


def title_of(path: PurePath) -> str:
    """Makes a title of a file's name."""
    words = path.stem.replace("_", " ").replace("-", " ").split()
    return " ".join(words).capitalize()
