"""What each kind of entry may say: one model a kind.

The models take the tree of the front matter with its scalars as written. What a text means
in music is not their business: keys, chords, charts and notation are read from their texts
afterwards.
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

    model_config = ConfigDict(extra="forbid", frozen=True)

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
    RH2: ClaimText | None = None
    LH: ClaimText | None = None
    LH2: ClaimText | None = None


class ShapesByVoice(Fields):
    """Shapes for each voice or hand."""

    RH: _OneOrMore[ClaimText] | None = None
    RH2: _OneOrMore[ClaimText] | None = None
    LH: _OneOrMore[ClaimText] | None = None
    LH2: _OneOrMore[ClaimText] | None = None


class ScaleFields(Fields):
    """A scale, where it stands and what is no part of it."""

    name: Annotated[ClaimText, Field(examples=["blues"])]
    root: DegreesText | None = None
    bars: BarsText | None = None
    outside: DegreesText | None = None


_Scale = Annotated[
    Annotated[ClaimText, Tag("words")] | Annotated[ScaleFields, Tag("fields")],
    Discriminator(lambda value: "fields" if isinstance(value, dict) else "words"),
]


class ScaleByVoice(Fields):
    """A scale for each voice or hand."""

    RH: _Scale | None = None
    RH2: _Scale | None = None
    LH: _Scale | None = None
    LH2: _Scale | None = None


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
    bass: _Words | None = None
    top: _Words | None = None
    chord_degrees: _Words | None = None
    chord_bass: _Words | None = None
    chord_top: _Words | None = None
    harmony: _Words | None = None
    shapes: _Shapes | None = None
    intervals: _Words | None = None
    scale: _Scales | None = None
    rhythm: _Words | None = None


class HeardFields(Fields):
    """Where a device was heard."""

    song: Word | None = None
    title: Text | None = None
    where: Text | None = None
    link: Link | None = None


class AppliedFields(Fields):
    """Where a device was played."""

    song: Annotated[Word, Field(examples=["paperlights-at-quillmere"])]
    bars: Annotated[BarsText, Field(examples=["5-6"])]
    key: Word | None = None
    date: Date | None = None
    changed: Text | None = None
    notation: Text | None = None


class EntryFields(Fields):
    """What every kind of entry may say."""

    title: Annotated[Text, Field(examples=['"Stepping out of the tonic"'])]
    aliases: tuple[Text, ...] = ()
    status: Annotated[Status, *one_of(Status)] = Status.PUBLISHED


class DeviceFields(EntryFields):
    """A device."""

    summary: Annotated[Text, Field(examples=['"Four bass notes that leave the tonic by step."'])]
    role: Annotated[_OneOrMore[Annotated[Role, *one_of(Role)]], Field(examples=["bass"])]
    concepts: tuple[Word, ...] = ()
    genres: tuple[Word, ...] = ()
    level: Annotated[int, *whole_number(1, 5)] | None = None
    hand: Annotated[Hand, *one_of(Hand)] | None = None
    line: Word | None = None
    range: Word | None = None
    feel: Word | None = None
    tempo: Annotated[int, *whole_number(1, FASTEST)] | None = None
    frame: Annotated[Frame, *one_of(Frame)] = Frame.KEY
    over: _OneOrMore[Text] | None = None
    notation: Text | None = None
    score: Word | None = None
    theory: TheoryFields | None = None
    heard_in: tuple[HeardFields, ...] = ()
    applied_in: tuple[AppliedFields, ...] = ()
    variant_of: Word | None = None
    see_also: tuple[Word, ...] = ()
    added: Date | None = None
    revised: Date | None = None
    accept: tuple[Word, ...] = ()


class SongFields(EntryFields):
    """A song."""

    key: Annotated[Word, Field(examples=["D"])]
    meter: Annotated[Word, Field(examples=["4/4"])]
    tempo: Annotated[int, *whole_number(1, FASTEST)] | None = None
    feel: Word | None = None
    genres: tuple[Word, ...] = ()
    pickup: Text | None = None
    chart: Annotated[dict[str, Text] | None, Field(min_length=1, examples=['A: "| D7 | G7 |"'])] = None
    score: Word | None = None
    form: _Some[Word] | None = None

    def section_keys(self) -> tuple[Scalar, ...]:
        """The names of the chart's sections as they are written, also of those at fault."""
        chart = self._table.value("chart")
        return tuple(key for key, _ in chart.fields) if isinstance(chart, Table) else ()


class ConceptFields(EntryFields):
    """A concept."""

    broader: Word | None = None


class ItemFields(Fields):
    """One line of a collection."""

    device: Word | None = None
    song: Word | None = None
    keys: tuple[Word, ...] = ()
    tempo: Annotated[int, *whole_number(1, FASTEST)] | None = None
    due: Date | None = None
    note: Text | None = None


class CollectionFields(EntryFields):
    """A collection."""

    purpose: Annotated[Purpose, *one_of(Purpose), Field(examples=["lesson"])]
    due: Date | None = None
    items: Annotated[_Some[ItemFields], Field(examples=["\n  - song: paperlights-at-quillmere"])]


MODELS: Mapping[Kind, type[EntryFields]] = {
    Kind.DEVICE: DeviceFields,
    Kind.SONG: SongFields,
    Kind.CONCEPT: ConceptFields,
    Kind.COLLECTION: CollectionFields,
}
