"""The fields of a device to a device."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from transposary.glossary import (
    AppliedIn,
    Claim,
    Device,
    HeardIn,
    Ref,
    ScaleClaim,
)
from transposary.passage import STRAIGHT, Hand, Passage
from transposary.problems import REMARKS, Fault, Place, Problem, SourceText
from transposary.reading.abc import read_abc
from transposary.reading.bounds import check_length
from transposary.reading.gathering import Gathering
from transposary.reading.nearest import nearest
from transposary.reading.pages import Page
from transposary.reading.schema import (
    SCOPES,
    AppliedFields,
    ByVoice,
    DeviceFields,
    HeardFields,
    ScaleByVoice,
    ScaleFields,
    ShapesByVoice,
    Status,
    TheoryFields,
)
from transposary.reading.scorefiles import read_score_file
from transposary.reading.values import parse_bars, parse_feel, parse_over, parse_range
from transposary.theory.keys import parse_key

VALUE = "entry.value"
_LINES = ("top", "bottom", *SCOPES)


def read_device(fields: DeviceFields, page: Page) -> tuple[Device | None, tuple[Problem, ...]]:
    """Reads what a device's texts mean: its notation, and all that is written in music's own words.

    Returns:
        The device, or None where its notation cannot be read; and what is wrong with it.
    """
    found = Gathering()
    source = fields.notation or fields.score
    passage = found.take(_notation(fields, page))
    feel = found.parsed(fields.feel, parse_feel, VALUE) if fields.feel else None
    compass = found.parsed(fields.range, parse_range, VALUE) if fields.range else None
    for text in fields.over or ():
        found.parsed(text, parse_over, "entry.over")
    for word in fields.accept:
        found.parsed(word, _parse_remark, VALUE)
    heard = tuple(found.take(_heard(one)) for one in fields.heard_in)
    applied = tuple(found.take(_applied(one, fields.hand)) for one in fields.applied_in)
    if passage is None:
        return None, tuple(found.problems)
    theory = fields.theory
    device = Device(
        slug=page.slug,
        title=fields.title.value,
        summary=fields.summary.value,
        roles=fields.role,
        passage=passage,
        place=page.place,
        notation_place=source.start if source else page.place,
        aliases=tuple(alias.value for alias in fields.aliases),
        concepts=refs(fields.concepts),
        genres=tuple(genre.value for genre in fields.genres),
        level=fields.level,
        line=_line(fields.line, passage, found),
        compass=compass,
        feel=feel or STRAIGHT,
        tempo=fields.tempo,
        frame=fields.frame,
        over=fields.over or (),
        claims=tuple(_claims(theory)) if theory else (),
        scales=tuple(_scales(theory)) if theory else (),
        heard_in=tuple(one for one in heard if one),
        applied_in=tuple(one for one in applied if one),
        variant_of=ref(fields.variant_of),
        see_also=refs(fields.see_also),
        added=fields.added,
        revised=fields.revised,
        accept=tuple(word.value for word in fields.accept),
        draft=fields.status is Status.DRAFT,
        prose=page.prose,
    )
    found.problems += _check_over(device)
    found.problems += _check_days(fields)
    return device, tuple(found.problems)


def _parse_remark(text: str) -> str | Fault:
    if text in REMARKS:
        return text
    near = nearest(text, REMARKS)
    hint = f"did you mean `{near}`?" if near else f"they are {', '.join(REMARKS)}"
    return Fault(0, f"`accept`: expected the name of a remark, found `{text}`", hint)


def ref(source: SourceText | None) -> Ref | None:
    """Makes a mention of another entry from its name."""
    return Ref(source.value, source.start) if source else None


def refs(sources: Sequence[SourceText]) -> tuple[Ref, ...]:
    """Makes mentions of other entries from their names."""
    return tuple(Ref(source.value, source.start) for source in sources)


def _notation(fields: DeviceFields, page: Page) -> tuple[Passage | None, tuple[Problem, ...]]:
    if fields.notation and fields.score:
        text = "a device has one notation, found `notation` and `score`"
        return None, (Problem(fields.key_place("score"), VALUE, text, "take one of them out"),)
    if fields.notation:
        return _bounded(fields.notation, *read_abc(fields.notation, fields.hand))
    if fields.score:
        return _bounded(fields.score, *read_score_file(fields.score, page, fields.hand))
    if fields.has("notation") or fields.has("score"):
        return None, ()
    text = "a device needs its notes in the field `notation`, found none"
    hint = "write `notation: |` and the ABC below it, indented, or `score: take.musicxml`"
    return None, (Problem(page.place, "entry.missing", text, hint),)


def _bounded(
    source: SourceText, passage: Passage | None, problems: tuple[Problem, ...]
) -> tuple[Passage | None, tuple[Problem, ...]]:
    fault = check_length(passage) if passage else None
    if fault is None:
        return passage, problems
    return None, (*problems, Problem(source.start, "entry.length", fault.text, fault.hint))


def _check_days(fields: DeviceFields) -> tuple[Problem, ...]:
    if fields.revised is None or (fields.added is not None and fields.added <= fields.revised):
        return ()
    said = f"`{fields.added}`" if fields.added else "none"
    text = f"`revised`: expected a day on or after the one in `added`, found {said} there"
    hint = f"write `added: {fields.revised}` or an earlier day"
    return (Problem(fields.key_place("revised"), VALUE, text, hint),)


def _check_over(device: Device) -> tuple[Problem, ...]:
    if device.over or device.passage.symbols:
        return ()
    text = "the notation has no chord symbols, so the device needs the field `over`, found none"
    hint = 'say what a chart shows where it can be played, such as `over: "I | IV"`'
    return (Problem(device.notation_place, "entry.over", text, hint),)


def _line(source: SourceText | None, passage: Passage, found: Gathering) -> str | None:
    if source is None:
        return None
    voices = [voice.name for voice in passage.voices]
    if source.value in ("top", "bottom", *voices):
        return source.value
    text = f"expected one of top, bottom, {', '.join(voices)}, found `{source.value}`"
    found.error(source.start, VALUE, f"`line`: {text}")
    return None


def _heard(fields: HeardFields) -> tuple[HeardIn | None, tuple[Problem, ...]]:
    given = [name for name in ("song", "title") if fields.has(name)]
    if len(given) != 1:
        text = f"expected either `song` or `title` in `heard_in`, found {'both' if given else 'none'}"
        hint = "`song` names a song of the glossary, `title` any other"
        return None, (Problem(fields.place, "entry.missing" if not given else VALUE, text, hint),)
    heard = HeardIn(
        ref(fields.song),
        fields.title.value if fields.title else None,
        fields.where.value if fields.where else None,
        fields.link.value if fields.link else None,
        fields.place,
    )
    return heard, ()


def _applied(fields: AppliedFields, hand: Hand | None) -> tuple[AppliedIn | None, tuple[Problem, ...]]:
    found = Gathering()
    bars = found.parsed(fields.bars, parse_bars, "entry.bars")
    key = found.parsed(fields.key, parse_key, "entry.key") if fields.key else None
    written = fields.notation
    notation = found.take(_bounded(written, *read_abc(written, hand))) if written else None
    if bars is None:
        return None, tuple(found.problems)
    applied = AppliedIn(
        Ref(fields.song.value, fields.song.start),
        replace(bars, place=fields.bars.start),
        key,
        fields.date,
        fields.changed.value if fields.changed else None,
        notation,
        fields.place,
    )
    return applied, tuple(found.problems)


def _claims(theory: TheoryFields) -> Iterator[Claim]:
    for name in TheoryFields.model_fields:
        said = getattr(theory, name)
        if said is None or name == "scale":
            continue
        if isinstance(said, ByVoice | ShapesByVoice):
            for scope in SCOPES:
                texts = getattr(said, scope)
                if texts is not None:
                    yield Claim(name, scope, _texts(texts), said.key_place(scope))
        else:
            yield Claim(name, None, _texts(said), theory.key_place(name))


def _texts(said: SourceText | tuple[SourceText, ...]) -> tuple[SourceText, ...]:
    return (said,) if isinstance(said, SourceText) else said


def _scales(theory: TheoryFields) -> Iterator[ScaleClaim]:
    place = theory.key_place("scale")
    match theory.scale:
        case ScaleByVoice() as by_voice:
            for scope in SCOPES:
                said = getattr(by_voice, scope)
                if said is not None:
                    yield _scale(said, scope, by_voice.key_place(scope))
        case tuple() as several:
            yield from (_scale(said, None, place) for said in several)
        case None:
            return
        case said:
            yield _scale(said, None, place)


def _scale(said: SourceText | ScaleFields, scope: str | None, place: Place) -> ScaleClaim:
    if isinstance(said, SourceText):
        return ScaleClaim(said, None, None, None, scope, place)
    return ScaleClaim(said.name, said.root, said.bars, said.outside, scope, place)
