"""What the reader of scores refuses, and what it says of it."""

import io
import random
import re
import zipfile
from pathlib import Path

import pytest

from transposary.engraving.musicxml import write_musicxml
from transposary.passage import Passage
from transposary.problems import Place, Problem, SourceText, errors
from transposary.reading.abc import read_abc
from transposary.reading.score import read_score

VALID = sorted((Path(__file__).parent / "valid").glob("*.abc"))
PLACE = Place("devices/x.md", 7, 8)
LINE = "M:4/4\nL:1/4\nK:C\nC D E F|G4|"


def _xml(text: str = LINE) -> str:
    passage, _ = read_abc(SourceText(text, Place("x")), None)
    assert passage is not None
    return write_musicxml(passage)


def _read(xml: str) -> tuple[Passage | None, tuple[Problem, ...]]:
    return read_score(xml.encode(), "take.musicxml", PLACE, None)


def _said(xml: str) -> list[str]:
    passage, problems = _read(xml)
    assert passage is None
    return [str(problem) for problem in problems]


def _zipped(**members: str) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in members.items():
            archive.writestr(name.replace("__", "/").replace("_", "."), text)
    return data.getvalue()


NOTE = "<note><pitch>"
SECOND = '<measure number="2">'
TAKE_OUT = "take it out of the score"
REFUSED = (
    # (what is replaced, by what, the bar, what is said of it, how to mend it)
    (NOTE, "<note><cue/><pitch>", "1", "cue is not carried", TAKE_OUT),
    (
        "</attributes>",
        "<transpose/></attributes>",
        "1",
        "transpose is not carried",
        "write the score at concert pitch",
    ),
    (
        SECOND,
        f"{SECOND}<direction><direction-type><f/></direction-type></direction>",
        "2",
        "f is not carried",
        TAKE_OUT,
    ),
    (SECOND, f'{SECOND}<sound dacapo="yes"/>', "2", "dacapo is not carried", TAKE_OUT),
    ("<step>C</step>", "<step>C</step><alter>0.5</alter>", "1", "alter 0.5 is not carried", TAKE_OUT),
    ("<step>C</step>", "", "1", "pitch without step is not carried", TAKE_OUT),
    (
        "<pitch><step>C</step><octave>4</octave></pitch>",
        "",
        "1",
        "note without one pitch or rest is not carried",
        TAKE_OUT,
    ),
    (
        "<note><pitch><step>D",
        (
            "<note><chord/><pitch><step>D</step><octave>5</octave></pitch><duration>2</duration></note>"
            "<note><pitch><step>D"
        ),
        "1",
        "chord of different lengths is not carried",
        TAKE_OUT,
    ),
    (
        SECOND,
        f"{SECOND}<backup><duration>1</duration></backup>",
        "2",
        "backup beyond the start of the bar is not carried",
        TAKE_OUT,
    ),
    (
        NOTE,
        '<note><tie type="stop"/><tie type="stop"/><pitch>',
        "1",
        "note with two ties of one kind is not carried",
        TAKE_OUT,
    ),
    ("<voice>", "<stem><note/></stem><voice>", "1", "note within stem is not carried", TAKE_OUT),
    (NOTE, '<note print-object="no"><pitch>', "1", "hidden note is not carried", TAKE_OUT),
    ("<beats>4</beats>", "<beats>3+1</beats>", "1", "beats 3+1 is not carried", TAKE_OUT),
    ("<sign>G</sign>", "<sign>percussion</sign>", "1", "sign percussion is not carried", TAKE_OUT),
    (
        "<duration>4</duration>",
        "<duration>2</duration>",
        "2",
        "the bar has 2 beats, 4/4 wants 4",
        "fill the bar, or change its meter",
    ),
    (
        "<duration>4</duration>",
        '<duration>4</duration><tie type="start"/>',
        "2",
        "the tie from G4 leads to no G4 in its voice",
        "tie it to the next note of the voice",
    ),
    (
        "<duration>1</duration>",
        "<duration>1</duration></note><backup><duration>1</duration></backup><note><rest/><duration>1</duration>",
        "1",
        "notes of one voice overlap",
        "write them as two voices",
    ),
    (
        "</attributes>",
        "</attributes><harmony><root><root-step>C</root-step></root><kind>Tristan</kind></harmony>",
        "1",
        "the chord C of the kind Tristan is not read",
        "write it as players do, such as C7 or Ebm7b5",
    ),
    (
        "<bar-style>light-heavy</bar-style>",
        '<bar-style>light-heavy</bar-style><ending number="3" type="stop"/>',
        "2",
        "ending 3 is not carried",
        TAKE_OUT,
    ),
    (
        SECOND,
        f'{SECOND}<barline location="left"><repeat direction="forward"/></barline>',
        "2",
        "the repeat that begins before bar 2 does not end",
        "mend the repeats in the score",
    ),
)


@pytest.mark.parametrize(("old", "new", "bar", "text", "hint"), REFUSED)
def test_refuses_by_name_what_a_passage_cannot_carry(
    old: str, new: str, bar: str, text: str, hint: str
) -> None:
    """Nothing of a score is passed over: what cannot be carried is named with its bar."""
    xml = _xml()
    assert old in xml
    said = f"devices/x.md:7:8: reading.score: take.musicxml, bar {bar}: {text}; {hint}"
    assert _said(xml.replace(old, new, 1)) == [said]


def test_leaves_out_what_is_no_note_and_says_so() -> None:
    """Tempo, words and the like cost no note: the passage is the same, and a remark names each."""
    tempo = f"{SECOND}<direction><direction-type><metronome/></direction-type></direction>"
    marked = _xml().replace(SECOND, tempo).replace("<type>", "<lyric><text>la</text></lyric><type>", 1)
    passage, problems = _read(marked)
    assert passage == _read(_xml())[0]
    assert [str(problem) for problem in problems] == [
        (
            "devices/x.md:7:8: remark: reading.left-out: take.musicxml, bar 1: lyric is left out; "
            "put words into the prose"
        ),
        (
            "devices/x.md:7:8: remark: reading.left-out: take.musicxml, bar 2: metronome is left out; "
            "the tempo stands in the front matter: tempo: 92"
        ),
    ]


def test_an_ending_without_its_fellow_is_refused() -> None:
    """Endings are held to the rule of entries, since an entry is what a score is written as."""
    begun = f'{SECOND}<barline location="left"><ending number="2" type="start"/></barline>'
    style = "<bar-style>light-heavy</bar-style>"
    xml = _xml().replace(SECOND, begun).replace(style, f'{style}<ending number="2" type="stop"/>')
    told = "take.musicxml, bar 2: a second ending stands without a first; mend the repeats in the score"
    assert _said(xml) == [f"devices/x.md:7:8: reading.score: {told}"]


def test_a_tempo_without_end_is_refused() -> None:
    """A number that the library behind the reader cannot round is no crash of its process."""
    beats = "<beat-unit>quarter</beat-unit><per-minute>inf</per-minute>"
    tempo = f"{SECOND}<direction><direction-type><metronome>{beats}</metronome></direction-type></direction>"
    assert _said(_xml().replace(SECOND, tempo))[1:] == [
        (
            "devices/x.md:7:8: reading.score: take.musicxml: music21 cannot read the score: OverflowError: "
            "cannot convert float infinity to integer; export it again"
        )
    ]


def test_names_all_that_is_wrong_once() -> None:
    """Everything that cannot be carried comes out in one run, each kind once with its first bar."""
    xml = (
        _xml()
        .replace("<type>", "<lyric><text>la</text></lyric><type>")
        .replace("</attributes>", "<transpose/></attributes>")
    )
    assert [said.partition(": take.musicxml, ")[2].partition(" is")[0] for said in _said(xml)] == [
        "bar 1: transpose",
        "bar 1: lyric",
    ]


DEEP = "<score-partwise>" + "<work>" * 50
SCORES = (
    (
        "take.musicxml",
        b"",
        "the score is no well-formed XML: no element found in line 1, column 1; export it again",
    ),
    (
        "take.musicxml",
        b"<score-partwise",
        "the score is no well-formed XML: unclosed token in line 1, column 1; export it again",
    ),
    (
        "take.musicxml",
        b'<!DOCTYPE a [<!ENTITY b "c">]><score-partwise/>',
        "the score declares entities; export the device alone",
    ),
    (
        "take.musicxml",
        DEEP.encode(),
        "elements stand within elements more than 40 deep; export the device alone",
    ),
    ("take.musicxml", b"\xe9", "the text is not utf-8: unexpected end of data; export the score as UTF-8"),
    (
        "take.musicxml",
        b'<?xml version="1.0" encoding="koi8-r"?><a/>',
        "the encoding koi8-r is not read; export the score as UTF-8",
    ),
    (
        "take.mid",
        b"MThd",
        "expected a score, found take.mid; export it as MusicXML (.musicxml) or compressed MusicXML (.mxl)",
    ),
    (
        "take.musicxml",
        b" " * 2_000_001,
        "the file has 2000001 bytes, more than 2000000; export the device alone",
    ),
    (
        "take.mxl",
        b"PK",
        (
            "the archive cannot be unpacked: File is not a zip file; "
            "export it as MusicXML (.musicxml) or compressed MusicXML (.mxl)"
        ),
    ),
    (
        "take.mxl",
        _zipped(readme_txt="x"),
        "the archive holds no score; export it as MusicXML (.musicxml) or compressed MusicXML (.mxl)",
    ),
    (
        "take.mxl",
        _zipped(take_xml="<a>" * 700_000),
        "the archive unpacks to more than 2000000 bytes or 50 files; export the device alone",
    ),
    ("take.musicxml", b"<html/>", "html is not carried; take it out of the score"),
)


@pytest.mark.parametrize(("filename", "data", "said"), SCORES)
def test_refuses_what_is_no_score(filename: str, data: bytes, said: str | None) -> None:
    """Damaged, foreign and overlong files are refused before anything reads their notes."""
    passage, problems = read_score(data, filename, PLACE, None)
    assert passage is None
    assert [str(one) for one in problems] == [f"devices/x.md:7:8: reading.score: {filename}: {said}"]


def test_a_score_has_two_staves_at_most() -> None:
    """A score on three staves is refused with their number."""
    xml = _xml()
    part = xml[xml.index('<part id="P1">') : xml.index("</score-partwise>")]
    name = '<score-part id="P{0}"><part-name>x</part-name></score-part>'
    more = "".join(part.replace("P1", f"P{number}") for number in (2, 3))
    xml = xml.replace("</part-list>", name.format(2) + name.format(3) + "</part-list>").replace(
        part, part + more
    )
    assert _said(xml) == [
        f"{PLACE}: reading.score: take.musicxml: the score has 3 staves; write it on one or two staves"
    ]


def _mutated(dice: random.Random, xml: str) -> str:
    for _ in range(dice.choice((1, 2, 4))):
        tags = list(re.finditer(r"<[^>]*>[^<]*", xml))
        one, other = dice.choice(tags), dice.choice(tags)
        begin, end = one.span()
        text = dice.choice(
            ("", other[0], one[0] * 2, re.sub(r"[0-9]+|[A-Za-z]+$", dice.choice("09C-"), one[0]))
        )
        xml = xml[:begin] + text + xml[end:]
    return xml


def test_mutated_scores_are_read_or_refused() -> None:
    """A mutated score gives a passage or errors, never an exception."""
    dice = random.Random(20260)  # noqa: S311 - the same mutations on each run, nothing secret
    scores = [_xml(path.read_text(encoding="utf-8")) for path in VALID]
    for _ in range(300):
        xml = _mutated(dice, dice.choice(scores))
        passage, problems = _read(xml)
        assert (passage is None) == bool(errors(problems)), xml
