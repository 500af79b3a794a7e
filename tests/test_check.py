"""Checks over a whole glossary, those of the corpus of broken entries aside."""

from __future__ import annotations

from pathlib import Path

from transposary.check import check_glossary, check_reading
from transposary.problems import Severity
from transposary.reading import read_glossary
from transposary.settings import Settings

DEVICE = """---
title: {title}
summary: A stretch.
role: voicing
hand: LH
{more}notation: |
  M: 4/4
  L: 1/4
  K: C clef=bass
  "C" [C,,E,]4 |
---
"""


def folder(root: Path, **devices: str) -> Path:
    """Writes devices, each with these fields beside the usual ones."""
    (root / "devices").mkdir()
    for slug, more in devices.items():
        text = DEVICE.format(title=slug.upper(), more=more)
        (root / "devices" / f"{slug}.md").write_text(text, encoding="utf-8")
    return root


def rules(root: Path, settings: Settings) -> list[str]:
    """Names the rules that have something to say, with the file."""
    problems = check_reading(read_glossary(root), settings)
    return [f"{problem.place.file.split('/')[1]} {problem.rule}" for problem in problems]


def test_remarks_are_accepted_one_by_one(tmp_path: Path) -> None:
    """`accept` silences the remarks that it names, in its own device only."""
    root = folder(tmp_path, a="", b="accept: [reach, likeness]\n")
    assert rules(root, Settings(hand_span=14)) == ["a.md theory.reach"]


def test_the_hand_span_is_the_readers_own(tmp_path: Path) -> None:
    """A wider hand takes the same stretch without a remark."""
    assert rules(folder(tmp_path, a=""), Settings(hand_span=16)) == []


def test_errors_cannot_be_accepted(tmp_path: Path) -> None:
    """A name in `accept` that is also the last part of an error's rule leaves the error standing."""
    root = folder(tmp_path, a="accept: [reach, undefined]\ntheory:\n  degrees: '1 3'\n")
    problems = check_reading(read_glossary(root), Settings())
    assert [(problem.rule, problem.severity) for problem in problems] == [("theory.degrees", Severity.ERROR)]


def test_a_broken_entry_is_checked_but_left_out(tmp_path: Path) -> None:
    """The glossary holds no broken entry, though its other problems come out in the same run."""
    root = folder(tmp_path, a="level: nine\ntheory:\n  degrees: '1 5'\n")
    reading = read_glossary(root)
    assert reading.glossary.devices == ()
    assert [(one.slug, one.title, one.path) for one in reading.broken] == [("a", "A", "devices/a.md")]
    assert check_glossary(reading.glossary, Settings()) == ()
    assert rules(root, Settings()) == ["a.md entry.value", "a.md theory.degrees", "a.md theory.reach"]


def test_a_variant_in_either_direction_is_meant(tmp_path: Path) -> None:
    """Two devices with the same notes are no remark where one is called a variant of the other."""
    root = folder(tmp_path, a="accept: [reach]\nvariant_of: b\n", b="accept: [reach]\n")
    assert rules(root, Settings()) == []
