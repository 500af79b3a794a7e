"""Score and MIDI files made to do harm: each is refused by name, and nothing beside it is opened."""

from __future__ import annotations

import io
import struct
import zipfile
from pathlib import Path

import pytest

from transposary.capture.midi import MOST_EVENTS, read_midi
from transposary.engraving.musicxml import write_musicxml
from transposary.passage import Passage
from transposary.problems import Fault, Place, SourceText
from transposary.reading.abc import read_abc
from transposary.reading.score import read_score

PLACE = Place("devices/x.md", 7, 8)
ENTITIES = "the score declares entities; export the device alone"
NO_SCORE = "the archive holds no score; export it as MusicXML (.musicxml) or compressed MusicXML (.mxl)"
TOO_MUCH = "the archive unpacks to more than 2000000 bytes or 50 files; export the device alone"
LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 20))


def _score() -> tuple[Passage, str]:
    passage, _ = read_abc(SourceText("M:4/4\nL:1/4\nK:C\nC D E F|G4|", Place("x")), None)
    assert passage is not None
    return passage, write_musicxml(passage)


def _with_doctype(doctype: str) -> str:
    xml = _score()[1]
    begin = xml.index("<score-partwise")
    return f'<?xml version="1.0" encoding="UTF-8"?>{doctype}{xml[begin:]}'


def _said(data: bytes, filename: str = "take.musicxml") -> list[str]:
    passage, problems = read_score(data, filename, PLACE, None)
    assert passage is None
    return [str(problem).removeprefix(f"{PLACE}: reading.score: {filename}: ") for problem in problems]


def _archive(packed: int = zipfile.ZIP_DEFLATED, **members: str) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", packed) as archive:
        for name, text in members.items():
            archive.writestr(name, text)
    return data.getvalue()


def _midi(events: int) -> bytes:
    """Writes notes struck and let go in turn, of three bytes each by running status."""
    track = b"\x00\x90\x3c\x40" + b"\x01\x3c\x00\x01\x3c\x40" * (events // 2) + b"\x00\xff\x2f\x00"
    return b"MThd" + struct.pack(">IHHH", 6, 0, 1, 480) + b"MTrk" + struct.pack(">I", len(track)) + track


def test_a_million_notes() -> None:
    """A take that nobody played is refused by its bytes, before anything parses it."""
    fault = read_midi(_midi(2_000_000))
    assert isinstance(fault, Fault)
    assert fault.text == "the file has 6000030 bytes, at most 1000000 are read"


def test_more_events_than_a_take_has(monkeypatch: pytest.MonkeyPatch) -> None:
    """Events are counted before they are followed."""
    assert MOST_EVENTS == 200_000
    monkeypatch.setattr("transposary.capture.midi.MOST_EVENTS", 200)
    fault = read_midi(_midi(200))
    assert isinstance(fault, Fault)
    assert fault.text == "the file has more than 200 events"


@pytest.mark.parametrize(
    "declared",
    [
        f'<!ENTITY l0 "ha">{LAUGHS}',
        '<!ENTITY x SYSTEM "SECRET">',
        '<!ENTITY % x SYSTEM "SECRET"> %x;',
        '<!ENTITY x PUBLIC "-//x" "https://example.org/x.dtd">',
    ],
    ids=["bomb", "file", "parameter", "address"],
)
def test_entities(tmp_path: Path, declared: str) -> None:
    """Bombs and entities that stand elsewhere are refused where they are declared."""
    secret = tmp_path / "secret.txt"
    secret.write_text("C", encoding="utf-8")
    xml = _with_doctype(f"<!DOCTYPE score-partwise [{declared.replace('SECRET', secret.as_uri())}]>")
    assert _said(xml.replace("<step>C<", "<step>&x;<").encode()) == [ENTITIES]


def test_a_document_type_that_stands_elsewhere(tmp_path: Path) -> None:
    """The line that every MusicXML file may begin with is passed over: what it names is not opened."""
    dtd = tmp_path / "broken.dtd"
    dtd.write_text("<!ELEMENT <", encoding="utf-8")
    xml = _with_doctype(f'<!DOCTYPE score-partwise PUBLIC "-//x" "{dtd.as_uri()}">')
    assert read_score(xml.encode(), "take.musicxml", PLACE, None) == (_score()[0], ())
    assert _said(xml.replace("<step>C<", "<step>&x;<", 1).encode()) == [
        f"{PLACE}: reading.score: take.musicxml, bar 1: step is not carried; take it out of the score"
    ]


def test_elements_within_elements() -> None:
    """Depth that would end a reader that calls itself is counted."""
    assert _said(b"<score-partwise>" + b"<work>" * 100_000) == [
        "elements stand within elements more than 40 deep; export the device alone"
    ]


@pytest.mark.parametrize(
    "members",
    [{"take.xml": "<a>" * 700_000}, {f"{number}.xml": "" for number in range(51)}],
    ids=["bytes", "files"],
)
def test_an_archive_that_unpacks_to_too_much(members: dict[str, str]) -> None:
    """Bytes and files are counted before anything is unpacked."""
    assert _said(_archive(**members), "take.mxl") == [TOO_MUCH]


def test_an_archive_that_lies_about_its_size() -> None:
    """A member that says it is small is read as far as it says, and refused."""
    data = _archive(**{"take.xml": "<a>" * 700_000})
    size = struct.pack("<I", 2_100_000)
    assert data.count(size) == 2
    (said,) = _said(data.replace(size, struct.pack("<I", 100)), "take.mxl")
    assert said.startswith("the archive cannot be unpacked: Bad CRC-32 for file 'take.xml'; export it as ")


def test_an_archive_that_is_packed_in_another_way() -> None:
    """The standard knows two; others unpack in steps that nobody can bound."""
    said = "the archive is neither stored nor deflated; export it as MusicXML"
    assert _said(_archive(zipfile.ZIP_LZMA, **{"take.xml": "<a>"}), "take.mxl")[0].startswith(said)


def test_paths_out_of_an_archive(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that leads out of the archive is a name in it: nothing is opened or written there."""
    folder = tmp_path / "one/two"
    folder.mkdir(parents=True)
    monkeypatch.chdir(folder)
    passage, xml = _score()
    (tmp_path / "secret.musicxml").write_text(xml, encoding="utf-8")
    container = '<container><rootfiles><rootfile full-path="../../secret.musicxml"/></rootfiles></container>'
    assert _said(_archive(**{"META-INF/container.xml": container}), "take.mxl") == [NO_SCORE]
    slip = _archive(**{"../../evil.musicxml": xml})
    assert read_score(slip, "take.mxl", PLACE, None) == (passage, ())
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["one", "secret.musicxml", "two"]
