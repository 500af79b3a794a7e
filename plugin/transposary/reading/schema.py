"""What each kind of entry may say: one model a kind.

The models take the tree of the front matter with its scalars as written. What a text means
in music is not their business: keys, chords, charts and notation are read from their texts
afterwards. The text below a field is its help: editors and the reference show it.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Self, TypeVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    PrivateAttr,
    Tag,
    model_validator,
)
from pydantic.functional_validators import ModelWrapValidatorHandler

from transposary.glossary import Frame, Kind, Purpose, Role
from transposary.passage import Hand
from transposary.problems import Place
from transposary.reading.schema_values import (
    BarsText,
    ClaimText,
    Date,
    DegreesText,
    Link,
    Text,
    Word,
    as_list,
    one_of,
    whole_number,
)
from transposary.reading.tree import Scalar, Table, TableValues

SCOPES = ("RH", "RH2", "LH", "LH2")
"""What a claim may be about: a hand (or its first voice), or the second voice of a hand."""

FASTEST = 400
"""Beats a minute; no tempo mark goes beyond it."""

_T = TypeVar("_T")
_Some = Annotated[tuple[_T, ...], Field(min_length=1)]
_OneOrMore = Annotated[tuple[_T, ...], BeforeValidator(as_list), Field(min_length=1)]


class Status(StrEnum):
    """Whether an entry is built for readers."""

    PUBLISHED = "published"
    DRAFT = "draft"


class Fields(BaseModel):
    """Fields with values; others are refused. Each knows where it stands in the file."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)

    _table: Table = PrivateAttr()

    @model_validator(mode="wrap")
    @classmethod
    def _keep_table(cls, value: object, handler: ModelWrapValidatorHandler[Self]) -> Self:
        fields = handler(value)
        if isinstance(value, TableValues):
            fields._table = value.table  # noqa: SLF001  # made right here, of this very class
        return fields

    @property
    def place(self) -> Place:
        """Where the fields begin."""
        return self._table.place

    def has(self, name: str) -> bool:
        """Whether a field stands in the file, even one at fault that was left out."""
        return self._table.key(name) is not None

    def key_place(self, name: str) -> Place:
        """Where the name of a field stands; the beginning, if it does not stand there."""
        key = self._table.key(name)
        return key.place if key else self.place


def _shape_of(value: object) -> str:
    """Tells which form a claim has, so that its problems are those of that form alone."""
    if isinstance(value, list):
        return "list"
    if isinstance(value, dict):
        return "by voice" if value.keys() & set(SCOPES) else "fields"
    return "words"


class ByVoice(Fields):
    """A claim for each voice or hand."""

    RH: ClaimText | None = None
    """The right hand, or its first voice."""
    RH2: ClaimText | None = None
    """The second voice of the right hand."""
    LH: ClaimText | None = None
    """The left hand, or its first voice."""
    LH2: ClaimText | None = None
    """The second voice of the left hand."""


class ShapesByVoice(Fields):
    """Shapes for each voice or hand."""

    RH: _OneOrMore[ClaimText] | None = None
    """The right hand, or its first voice."""
    RH2: _OneOrMore[ClaimText] | None = None
    """The second voice of the right hand."""
    LH: _OneOrMore[ClaimText] | None = None
    """The left hand, or its first voice."""
    LH2: _OneOrMore[ClaimText] | None = None
    """The second voice of the left hand."""


class ScaleFields(Fields):
    """A scale, where it stands and what is no part of it."""

    name: Annotated[ClaimText, Field(examples=["blues"])]
    """The name of the scale, such as `dorian`."""
    root: DegreesText | None = None
    """Its root, as a degree of the key's major scale; `1` if left out."""
    bars: BarsText | None = None
    """The bars that it is about; all of them if left out."""
    outside: DegreesText | None = None
    """Degrees that are no part of it, in quotation marks: `"3 b5"`."""


_Scale = Annotated[
    Annotated[ClaimText, Tag("words")] | Annotated[ScaleFields, Tag("fields")],
    Discriminator(lambda value: "fields" if isinstance(value, dict) else "words"),
]


class ScaleByVoice(Fields):
    """A scale for each voice or hand."""

    RH: _Scale | None = None
    """The right hand, or its first voice."""
    RH2: _Scale | None = None
    """The second voice of the right hand."""
    LH: _Scale | None = None
    """The left hand, or its first voice."""
    LH2: _Scale | None = None
    """The second voice of the left hand."""


_Words = Annotated[
    Annotated[ClaimText, Tag("words")] | Annotated[ByVoice, Tag("by voice")],
    Discriminator(lambda value: "by voice" if isinstance(value, dict) else "words"),
]
_Shapes = Annotated[
    Annotated[_OneOrMore[ClaimText], Tag("list")] | Annotated[ShapesByVoice, Tag("by voice")],
    Discriminator(lambda value: "by voice" if isinstance(value, dict) else "list"),
]
_Scales = Annotated[
    Annotated[ClaimText, Tag("words")]
    | Annotated[ScaleFields, Tag("fields")]
    | Annotated[ScaleByVoice, Tag("by voice")]
    | Annotated[_Some[_Scale], Tag("list")],
    Discriminator(_shape_of),
]


class TheoryFields(Fields):
    """What the author claims about the notes."""

    degrees: _Words | None = None
    """Every note of a voice, counted from the tonic's major scale: `"1 2 b3 3 | 4"`."""
    bass: _Words | None = None
    """The lowest note of each chord struck, counted likewise: `"4 #4 | 5"`."""
    top: _Words | None = None
    """The highest note of each chord struck, counted likewise."""
    chord_degrees: _Words | None = None
    """Every note, counted from the root of its chord: `"(b3 5 b7 9) | (b7 9 3 13)"`."""
    chord_bass: _Words | None = None
    """The lowest note of each chord struck, counted from the root of its chord."""
    chord_top: _Words | None = None
    """The highest note of each chord struck, counted from the root of its chord."""
    harmony: _Words | None = None
    """The chord symbols as Roman numerals: `"ii7 V7 | Imaj7"`."""
    shapes: _Shapes | None = None
    """Each chord struck, as a list: quality, then inversion or `rootless`."""
    intervals: _Words | None = None
    """The interval within each double stop: `"M6 M6 m6"`."""
    scale: _Scales | None = None
    """The scale that the notes come from, and the notes outside it."""
    rhythm: _Words | None = None
    """Where it is struck, counted aloud: `"1 2& 4 | 2 3"`."""


class HeardFields(Fields):
    """Where a device was heard."""

    song: Word | None = None
    """Any name of a song of the glossary."""
    title: Text | None = None
    """Free words for music that has no entry; either `song` or `title`."""
    where: Text | None = None
    """Where in it, in your words."""
    link: Link | None = None
    """Address of a page about it: a link for readers, never fetched or embedded."""


class AppliedFields(Fields):
    """Where a device was played."""

    song: Annotated[Word, Field(examples=["paperlights-at-quillmere"])]
    """Any name of a song of the glossary."""
    bars: Annotated[BarsText, Field(examples=["5-6"])]
    """Bars through the form as played (`5-6`), or of a section, all its times (`B 3-4`)."""
    key: Word | None = None
    """The key that the band played in; the song's own if left out."""
    date: Date | None = None
    """When it was played: `2026-03-14`."""
    changed: Text | None = None
    """What you changed, in your words."""
    notation: Text | None = None
    """The version as played, in ABC, in the key given here."""


class EntryFields(Fields):
    """What every kind of entry may say."""

    title: Annotated[Text, Field(examples=['"Stepping out of the tonic"'])]
    """What the entry is called."""
    aliases: tuple[Text, ...] = ()
    """Other names; each finds the entry, and addresses made from them lead to it."""
    status: Annotated[Status, *one_of(Status)] = Status.PUBLISHED
    """A `draft` is shown by `mkdocs serve` and left out of the build."""


class DeviceFields(EntryFields):
    """A device."""

    summary: Annotated[Text, Field(examples=['"Four bass notes that leave the tonic by step."'])]
    """What it is, in one sentence."""
    role: Annotated[_OneOrMore[Annotated[Role, *one_of(Role)]], Field(examples=["bass"])]
    """What it does in the music; one, or a list."""
    concepts: tuple[Word, ...] = ()
    """Names of the ideas that it is an example of."""
    genres: tuple[Word, ...] = ()
    """Styles that it belongs to."""
    level: Annotated[int, *whole_number(1, 5)] | None = None
    """How hard it is, from 1 (a first term) to 5."""
    hand: Annotated[Hand, *one_of(Hand)] | None = None
    """The hand that plays what stands on one staff; by its clef if left out."""
    line: Word | None = None
    """The line that a single-line instrument reads: `top`, `bottom` or the name of a voice."""
    range: Word | None = None
    """Pitches that it leaves in no key: `E1-C4`."""
    feel: Word | None = None
    """`straight`, `swing` or `shuffle`; `swing 16` where the sixteenths swing."""
    tempo: Annotated[int, *whole_number(1, FASTEST)] | None = None
    """Beats a minute; a beat of 6/8 and 12/8 is the dotted quarter, one of 2/2 the half."""
    frame: Annotated[Frame, *one_of(Frame)] = Frame.KEY
    """What it hangs on when it travels: this place in the `key`, this root `motion`, or one `chord`."""
    over: _OneOrMore[Text] | None = None
    """What a chart says where it can be played, as numerals: `"I | IV"`; one, or a list."""
    notation: Text | None = None
    """The music in ABC, in the one key in which you learnt it; `notation` or `score`."""
    score: Word | None = None
    """A file beside the entry instead: `.musicxml` or `.mxl`."""
    theory: TheoryFields | None = None
    """What you claim about the notes; each claim is checked."""
    heard_in: tuple[HeardFields, ...] = ()
    """Where you heard it."""
    applied_in: tuple[AppliedFields, ...] = ()
    """Where you played it."""
    variant_of: Word | None = None
    """The device that this one is a variant of; says that the likeness is meant."""
    see_also: tuple[Word, ...] = ()
    """Other devices that a reader may want."""
    added: Date | None = None
    """The day on which it came into the glossary, for the feed."""
    revised: Date | None = None
    """The day on which you changed it so that others should know, for the feed."""
    accept: tuple[Word, ...] = ()
    """Rules of remarks that you have seen and that shall not be made again: `[reach]`."""


class SongFields(EntryFields):
    """A song."""

    key: Annotated[Word, Field(examples=["D"])]
    """Its key: `D`, `B minor`, `D dorian`."""
    meter: Annotated[Word, Field(examples=["4/4"])]
    """Its meter: `4/4`."""
    tempo: Annotated[int, *whole_number(1, FASTEST)] | None = None
    """Beats a minute, counted as in a device."""
    feel: Word | None = None
    """`straight`, `swing` or `shuffle`, as in a device."""
    genres: tuple[Word, ...] = ()
    """Styles that it belongs to."""
    pickup: Text | None = None
    """Chords before the first full bar: they make bar 0."""
    chart: Annotated[dict[str, Text] | None, Field(min_length=1, examples=['A: "| D7 | G7 |"'])] = None
    """Sections by their names, each as bars of chord symbols: `A: "| D7 | G7 / A7 / |"`."""
    score: Word | None = None
    """A file beside the entry instead, with the chords over its notes: `.musicxml` or `.mxl`."""
    form: _Some[Word] | None = None
    """The sections as they are played; all of them once, in their order, if left out."""

    def section_keys(self) -> tuple[Scalar, ...]:
        """The names of the chart's sections as they are written, also of those at fault."""
        chart = self._table.value("chart")
        return tuple(key for key, _ in chart.fields) if isinstance(chart, Table) else ()


class ConceptFields(EntryFields):
    """A concept."""

    broader: Word | None = None
    """The concept that this one is a kind of."""


class ItemFields(Fields):
    """One line of a collection."""

    device: Word | None = None
    """Any name of a device."""
    song: Word | None = None
    """Any name of a song; either `device` or `song`."""
    keys: tuple[Word, ...] = ()
    """Keys to play the device in; the one of the entry if left out."""
    tempo: Annotated[int, *whole_number(1, FASTEST)] | None = None
    """Beats a minute to reach; those of the entry if left out."""
    due: Date | None = None
    """The day by which it is wanted; the collection's if left out."""
    note: Text | None = None
    """A word about it."""


class CollectionFields(EntryFields):
    """A collection."""

    purpose: Annotated[Purpose, *one_of(Purpose), Field(examples=["lesson"])]
    """Whether it is a `lesson` or a `set`."""
    due: Date | None = None
    """The day by which everything is wanted that does not say its own."""
    items: Annotated[_Some[ItemFields], Field(examples=["\n  - song: paperlights-at-quillmere"])]
    """Its devices and songs, in order."""


MODELS: Mapping[Kind, type[EntryFields]] = {
    Kind.DEVICE: DeviceFields,
    Kind.SONG: SongFields,
    Kind.CONCEPT: ConceptFields,
    Kind.COLLECTION: CollectionFields,
}
