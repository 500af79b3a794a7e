"""Notes for other programs: devices in any key, collections as one score, and both ways."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest

from tests.demo import ENTRIES, GLOSSARY
from tests.outside.musicxml_notes import written, written_in
from transposary.cli import main
from transposary.engraving.album import chart_passage
from transposary.engraving.lines import lines
from transposary.engraving.musicxml import write_musicxml
from transposary.exchange.scores import Form, collection_score, device_score, in_slot
from transposary.glossary import Device, Glossary
from transposary.passage import Hand, Passage
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc
from transposary.reading.score import read_score
from transposary.settings import Settings
from transposary.theory.keys import SLOTS

DEVICES = GLOSSARY.devices


@pytest.fixture(scope="module")
def demo() -> Glossary:
    """The demo."""
    return GLOSSARY


def _hand(passage: Passage) -> Hand | None:
    return passage.hands[0] if len(passage.hands) == 1 else None


def _parted(passage: Passage) -> bool:
    """Whether a note is so long, or lies so across its bar, that it is written in several values."""
    return any(not one.last for line in lines(passage) for bar in line.bars for one in bar)


@pytest.mark.parametrize("device", DEVICES, ids=lambda device: device.slug)
def test_a_device_comes_back_from_musicxml(device: Device) -> None:
    """What was written is read as the same passage; only a note written as several tied ones stays so."""
    passage = device.passage
    score = write_musicxml(passage)
    again, problems = read_score(score.encode(), "take.musicxml", Place("x.md"), _hand(passage))
    assert problems == ()
    assert again is not None
    assert again == passage or _parted(passage)
    assert write_musicxml(again) == score


@pytest.mark.parametrize("device", DEVICES, ids=lambda device: device.slug)
def test_a_device_comes_back_from_abc_in_any_key(device: Device) -> None:
    """The ABC of a key is read as the passage in that key, without a problem; every third key of each."""
    for slot in SLOTS[DEVICES.index(device) % 3 :: 3]:
        _, passage = in_slot(device, slot, Settings())
        text = device_score(device, slot, Form.ABC, Settings())
        assert isinstance(text, bytes)
        assert text.startswith(f"X: 1\nT: {device.title} in ".encode())
        source = SourceText(text.decode(), Place("x.md"))
        assert read_abc(source, _hand(passage)) == (passage, ()), slot


def test_a_collection_is_one_score(demo: Glossary) -> None:
    """Each device follows the one before, in the keys asked for, with its notes in their places."""
    collection = demo.collection["first-left-hand"]
    score = collection_score(collection, demo, Settings())
    assert isinstance(score, bytes)
    expected = []
    start = Fraction(0)
    for item in collection.items:
        if item.song is not None:
            chart = chart_passage(demo.song[item.song.slug or ""])
            start += chart.end - chart.bars[0].onset
            continue
        assert item.device is not None
        device = demo.device[item.device.slug or ""]
        for slot in item.keys or (SLOTS[device.passage.key.tonic.pitch_class],):
            _, passage = in_slot(device, slot, Settings())
            expected += [note._replace(onset=note.onset + start) for note in written(passage)]
            start += passage.end - passage.bars[0].onset
    found = written_in(score.decode())
    assert [(one.onset, one.pitch) for one in found] == [(one.onset, one.pitch) for one in sorted(expected)]


def test_a_chart_is_written_as_the_form_plays_it(demo: Glossary) -> None:
    """Every bar played has its chord symbols over a rest, pickups counted as bar 0."""
    for song in demo.songs:
        passage = chart_passage(song)
        assert [bar.number for bar in passage.bars] == [played.number for played in song.played]
        chords = [str(chord) for played in song.played for chord in played.bar.chords]
        assert [str(symbol) for symbol in passage.symbols] == chords
        assert passage.bars[0].onset <= 0
        assert all(not event.heads for event in passage.voices[0].events)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("device", "climb-to-the-fife"), 2, "did you mean `climb-to-the-five`?"),
        (("device", "climb-to-the-five", "--key", "H"), 2, "write 'B'"),
        (("collection", "saturday-sett"), 2, "did you mean `saturday-set`?"),
    ],
)
def test_what_is_not_there_is_named(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: int, said: str
) -> None:
    """A name or a key that cannot be had is refused with the nearest one."""
    assert main(["score", *words, "--folder", str(ENTRIES.parent)]) == code
    assert said in capsys.readouterr().err


def test_a_score_is_printed_or_written(tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    """Without a file's name the notes go to standard output; a name that cannot be written is refused."""
    words = ["score", "device", "walk-up-to-the-four", "--key", "Eb", "--folder", str(ENTRIES.parent)]
    assert main([*words, "--format", "abc"]) == 0
    assert (
        capsysbinary.readouterr().out
        == (
            "X: 1\nT: Walk-up to the four in E♭ major\nM: 4/4\nL: 1/4\nK: Eb clef=bass\n"
            '"Eb"!4!E,,2 !3!F,, !1!G,, | "Ab"!2!A,,2 z2 |]\n'
        ).encode()
    )
    assert main([*words, "--format", "mid", "--output", str(tmp_path / "one.mid")]) == 0
    assert (tmp_path / "one.mid").read_bytes().startswith(b"MThd")
    assert main([*words, "--output", str(tmp_path / "none/one.musicxml")]) == 2
    told = capsysbinary.readouterr().err.decode()
    assert told == f"{tmp_path}/none/one.musicxml cannot be written: No such file or directory\n"


def test_a_terminal_is_not_filled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On a terminal a file with the entry's name is written, but never over one that is there."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    words = ["score", "device", "walk-up-to-the-four", "--format", "abc", "--folder", str(ENTRIES.parent)]
    assert main(words) == 0
    assert capsys.readouterr().out == "walk-up-to-the-four.abc is written\n"
    Path("walk-up-to-the-four.abc").write_text("my own", encoding="utf-8")
    assert main(words) == 2
    said = "walk-up-to-the-four.abc is there already; name a file with --output\n"
    assert capsys.readouterr().err == said
    assert Path("walk-up-to-the-four.abc").read_text(encoding="utf-8") == "my own"
