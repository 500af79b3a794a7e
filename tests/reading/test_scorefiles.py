"""Scores that entries name: which files are opened, and how a lead sheet becomes a chart."""

from __future__ import annotations

from pathlib import Path

import pytest

from transposary.engraving.musicxml import write_musicxml
from transposary.glossary import Kind
from transposary.notes import notes
from transposary.passage import Hand, Key
from transposary.pitch import NoteName
from transposary.problems import Fault, Place, SourceText
from transposary.reading import read_glossary
from transposary.reading.abc import read_abc
from transposary.reading.leadsheet import LeadSheet, read_lead_sheet
from transposary.reading.pages import Page
from transposary.reading.scorefiles import load_score

C = Key(NoteName.parse("C"))


@pytest.fixture
def page(tmp_path: Path) -> Page:
    """An entry with two scores beside it, and one outside the glossary."""
    devices = tmp_path / "entries" / "devices"
    devices.mkdir(parents=True)
    (devices / "take.mxl").write_bytes(b"PK")
    (tmp_path / "entries" / "other.xml").write_bytes(b"<other/>")
    (tmp_path / "secret.mxl").write_bytes(b"secret")
    (devices / "link.mxl").symlink_to(tmp_path / "secret.mxl")
    return Page(tmp_path / "entries", "devices/x.md", Kind.DEVICE, "x")


def test_scores_lie_within_the_glossary(page: Page) -> None:
    """A score is found beside its entry, or elsewhere in the glossary's folder."""
    assert load_score("take.mxl", page) == b"PK"
    assert load_score("../other.xml", page) == b"<other/>"


@pytest.mark.parametrize("name", ["../../secret.mxl", "/etc/hosts.xml", "link.mxl", "a/../../../secret.mxl"])
def test_nothing_outside_the_glossary_is_opened(page: Page, name: str) -> None:
    """Paths and links that lead out of the folder are refused."""
    assert load_score(name, page) == Fault(
        0,
        f"expected a score within the folder of the glossary, found `{name}`",
        "put the score beside the entry, and write its name alone",
    )


@pytest.mark.parametrize(
    ("name", "text", "hint"),
    [
        ("tale.mxl", "there is no file `tale.mxl` beside the entry", "did you mean `take.mxl`?"),
        ("song.musicxml", "there is no file `song.musicxml` beside the entry", ""),
        ("take.pdf", "expected a file that ends in .musicxml, .mxl, .xml, found `take.pdf`", ""),
        (".mxl", "expected a file that ends in .musicxml, .mxl, .xml, found `.mxl`", ""),
    ],
)
def test_a_score_that_is_not_there_is_named(page: Page, name: str, text: str, hint: str) -> None:
    """A missing file is reported with the one that may be meant."""
    assert load_score(name, page) == Fault(0, text, hint)


def lead_sheet(tune: str) -> LeadSheet:
    """Writes a tune as MusicXML, and reads that as a lead sheet in C."""
    passage, problems = read_abc(SourceText(tune, Place("x")), Hand.RIGHT)
    assert problems == ()
    assert passage is not None
    sheet = read_lead_sheet(write_musicxml(passage).encode(), "x.musicxml", C)
    assert isinstance(sheet, LeadSheet)
    return sheet


def test_a_lead_sheet_is_a_chart() -> None:
    """Chords hold over barlines, repeats and the pickup stay, and before the first chord there is none."""
    sheet = lead_sheet(
        "M: 4/4\nL: 1/4\nK: C\n"
        'G | C4 |: "C" C2 "F#m7b5/C" F2 | G4 |[1 "G7" G4 :|[2 [K:D] [M:3/4] "D" D2 "A7" A ||\n'
    )
    assert sheet.pickup is not None
    assert [(str(one), one.beat, one.length) for one in sheet.pickup.chords] == [("N.C.", 4, 1)]
    assert [" ".join(f"{one}@{one.beat}+{one.length}" for one in bar.chords) for bar in sheet.bars] == [
        "N.C.@1+4",
        "C@1+2 F#m7b5/C@3+2",
        "F#m7b5/C@1+4",
        "G7@1+4",
        "D@1+2 A7@3+1",
    ]
    assert [(bar.repeat_begun, bar.repeat_ended, bar.ending) for bar in sheet.bars] == [
        (False, False, ""),
        (True, False, ""),
        (False, False, ""),
        (False, True, "1"),
        (False, False, "2"),
    ]
    assert [str(bar.meter) for bar in sheet.bars[-2:]] == ["4/4", "3/4"]
    assert [str(bar.key) for bar in sheet.bars[-2:]] == ["C major", "D major"]


SCORE = "<score-partwise><part><measure>{}</measure></part></score-partwise>"
HARMONY = "<harmony><root><root-step>C</root-step></root><kind>{}</kind>{}</harmony>"
FAR = "<degree><degree-value>21</degree-value><degree-type>add</degree-type></degree>"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the score is no well-formed XML: no element found: line 1, column 0"),
        ("<!DOCTYPE a [<!ENTITY b 'c'>]><a/>", "the score declares entities"),
        ("<score-timewise/>", "expected partwise MusicXML, found score-timewise"),
        (SCORE.format(""), "expected a score with chord symbols, found none"),
        (SCORE.format('<sound dacapo="yes"/>'), "bar 1: the score jumps (dacapo), which is not read"),
        (SCORE.format("<harmony><numeral/></harmony>"), "bar 1: a chord symbol without a root is not read"),
        (SCORE.format(HARMONY.format("Tristan", "")), "bar 1: the chord C of the kind Tristan is not read"),
        (SCORE.format(HARMONY.format("major", FAR)), "bar 1: the degrees of the chord on C are not read"),
        (
            SCORE.format('<barline><repeat direction="backward" times="3"/></barline>'),
            "bar 1: a bar is played more than twice over, which is not read",
        ),
        (
            SCORE.format('<barline><ending number="1, 2" type="start"/></barline>'),
            "bar 1: a bar is played more than twice over, which is not read",
        ),
        (SCORE.format("<attributes><time/></attributes>"), "bar 1: the meter is not read"),
        (
            SCORE.replace("<measure>{}</measure>", "<measure/>" * 501),
            "expected a lead sheet of at most 500 bars, found 501",
        ),
    ],
)
def test_what_is_no_lead_sheet_is_refused_by_name(text: str, said: str) -> None:
    """A score that cannot be followed says why, and in which bar."""
    fault = read_lead_sheet(text.encode(), "x.musicxml", C)
    assert isinstance(fault, Fault)
    assert fault.text == said


def test_numbers_out_of_bounds_do_no_harm() -> None:
    """Durations and offsets that no score has are passed over."""
    wild = "<note><duration>99999999999999</duration></note><harmony><root><root-step>C</root-step>"
    wild += "</root><kind>major</kind><offset>-7</offset></harmony><backup><duration>x</duration></backup>"
    sheet = read_lead_sheet(SCORE.format(wild).encode(), "x.musicxml", C)
    assert isinstance(sheet, LeadSheet)
    assert [(str(one), one.length) for one in sheet.bars[0].chords] == [("C", 4)]


def test_a_song_takes_its_chart_from_a_score(tmp_path: Path) -> None:
    """`score` stands for `chart`; the song's meter is held against it, and a form may play it twice."""
    passage, _ = read_abc(SourceText('M: 3/4\nL: 1/4\nK: C\n"C" C3 | "G7" D3 |\n', Place("x")), Hand.RIGHT)
    assert passage is not None
    (tmp_path / "songs").mkdir()
    (tmp_path / "songs" / "tide.musicxml").write_text(write_musicxml(passage), encoding="utf-8")
    song = tmp_path / "songs" / "tide.md"
    text = "---\ntitle: Tide\nkey: C\nmeter: 3/4\nscore: tide.musicxml\nform: [A, A]\n---\n"
    song.write_text(text, encoding="utf-8")
    reading = read_glossary(tmp_path)
    assert reading.problems == ()
    assert [str(bar.bar.chords[0]) for bar in reading.glossary.song["tide"].played] == ["C", "G7"] * 2
    # The score may change by itself.
    assert (
        read_glossary(tmp_path, before=reading.read).read["songs/tide.md"]
        is not reading.read["songs/tide.md"]
    )
    song.write_text(text.replace("3/4", "4/4").replace("form:", "chart:\n  A: C\nform:"), encoding="utf-8")
    assert [problem.text for problem in read_glossary(tmp_path).problems] == [
        "a song has one chart, found `chart` and `score`"
    ]
    song.write_text(text.replace("3/4", "4/4"), encoding="utf-8")
    (problem,) = read_glossary(tmp_path).problems
    assert problem.text == "the score is in 3/4, found `4/4`"


def test_a_device_takes_its_notes_from_a_score(tmp_path: Path) -> None:
    """`score` stands for `notation`, and what is wrong with the file is said where it is named."""
    passage, _ = read_abc(SourceText('M: 4/4\nL: 1/4\nK: C\n"C" C4 |\n', Place("x")), Hand.RIGHT)
    assert passage is not None
    (tmp_path / "devices").mkdir()
    (tmp_path / "devices" / "take.musicxml").write_text(write_musicxml(passage), encoding="utf-8")
    text = "---\ntitle: Take\nsummary: A note.\nrole: melody\nscore: take.musicxml\n---\n"
    device = tmp_path / "devices" / "take.md"
    device.write_text(text, encoding="utf-8")
    reading = read_glossary(tmp_path)
    assert reading.problems == ()
    assert [str(note.pitch) for note in notes(reading.glossary.device["take"].passage)] == ["C4"]
    device.write_text(text.replace("take.musicxml", "tale.musicxml"), encoding="utf-8")
    (problem,) = read_glossary(tmp_path).problems
    assert (problem.place, problem.hint) == (Place("devices/take.md", 5, 8), "did you mean `take.musicxml`?")
