"""Recording, with a keyboard and a clock that are scripted."""

import argparse
from collections.abc import Iterable
from pathlib import Path

import pytest
from mido import Message

from transposary.capture.midi import read_midi
from transposary.capture.recording import Desk, record
from transposary.capture.values import Take
from transposary.cli.record import keep_and_write
from transposary.passage import Meter


class _Keyboard:
    """Strikes keys at given seconds of a clock that goes on when somebody waits."""

    def __init__(self, *played: tuple[float, Message]) -> None:
        self.time = 100.0
        self.said: list[str] = []
        self._left = list(played)

    def iter_pending(self) -> Iterable[Message]:
        due = [message for moment, message in self._left if moment <= self.time - 100.0]
        self._left = self._left[len(due) :]
        return due

    def now(self) -> float:
        return self.time

    def wait(self, seconds: float) -> None:
        self.time += seconds * 10

    def desk(self) -> Desk:
        return Desk(self, self.now, self.wait, self.said.append)


def _walk() -> _Keyboard:
    """Four quarter notes of the second bar, at 120 to the minute."""
    numbers = enumerate((55, 57, 59, 60))
    keys = [(2 + 0.5 * place, 2.45 + 0.5 * place, number) for place, number in numbers]
    struck = [
        (moment, Message(kind, note=number, velocity=80))
        for start, end, number in keys
        for moment, kind in ((start, "note_on"), (end, "note_off"))
    ]
    return _Keyboard(*struck)


def test_a_take_is_counted_in_and_ends_by_itself() -> None:
    """Two bars after the last key is let go the take is over, and it states tempo and meter."""
    keyboard = _walk()
    take = read_midi(record(keyboard.desk(), 120, Meter(4, 4)))
    assert isinstance(take, Take)
    assert [one.number for one in take.notes] == [55, 57, 59, 60]
    assert take.notes[0].start == pytest.approx(2.0, abs=0.02)
    assert take.meters == ((0, Meter(4, 4)),)
    assert keyboard.said[:5] == ["1 (count-in)", "2 (count-in)", "3 (count-in)", "4 (count-in)", "1"]
    assert keyboard.time - 100.0 == pytest.approx(3.95 + 4, abs=0.05)


def test_nobody_is_waited_for_for_ever() -> None:
    """Where nothing is played for sixteen bars, there is no take."""
    assert record(_Keyboard().desk(), 120, Meter(4, 4)) == b""


def test_a_take_is_kept_and_becomes_an_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bars of the entry are those of the count-in; the take stands in a file of its own."""
    (tmp_path / "entries" / "devices").mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text("docs_dir: entries\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    data = record(_walk().desk(), 120, Meter(4, 4))
    said = {"key": "G", "title": "Walk", "keep": Path("walk.mid"), "folder": tmp_path}
    wishes = {"meter": None, "tempo": None, "bars": None, "pickup": None, "song": None, "role": None}
    outcome = keep_and_write(argparse.Namespace(**said, **wishes), data)
    assert outcome.code == 0
    assert outcome.text.endswith("the take is kept in walk.mid")
    assert Path("walk.mid").read_bytes() == data
    text = (tmp_path / "entries/devices/walk.md").read_text(encoding="utf-8")
    assert '  degrees: "1 2 3 4"\n' in text
    assert '  rhythm: "1 2 3 4"\n' in text
