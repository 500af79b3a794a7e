"""What is made of a device in a worker, and kept."""

import json
import zlib
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.site.book import ENTRIES, write
from transposary.build import _worked
from transposary.engraving import EngravingFailure, Press
from transposary.engraving.pool import InThisProcess, do_here
from transposary.processes import WorkerLostError
from transposary.reading import read_glossary
from transposary.settings import Settings
from transposary.site.edition import Made
from transposary.site.making import Making


@pytest.fixture(scope="module")
def making(tmp_path_factory: pytest.TempPathFactory) -> Making:
    """The work of a device."""
    reading = read_glossary(write(tmp_path_factory.mktemp("entries"), ENTRIES))
    return Making.of(_worked(reading.glossary.device["climb"], Settings()))


@pytest.fixture(scope="module")
def done(making: Making) -> tuple[Made, bytes]:
    """What is made of it, and what is kept of that."""
    made, packed = do_here(making)
    assert packed is not None
    return made, packed


def test_what_is_kept_is_what_was_made(making: Making, done: tuple[Made, bytes]) -> None:
    """Figures, words, music, parts and signs come back as they were."""
    assert making.unpacked(done[1]) == done[0]


def test_the_key_depends_on_what_is_made(making: Making) -> None:
    """Notes, names and keys count; prose and references do not."""
    device = making.device
    bar = device.passage.bars[-1]
    repeated = replace(device.passage, bars=(*device.passage.bars[:-1], replace(bar, repeat_ended=True)))
    where = making.keys[0]
    others = [
        replace(making, device=replace(device, title="Another")),
        replace(making, device=replace(device, tempo=61)),
        replace(making, device=replace(device, passage=repeated)),
        replace(making, keys=(replace(where, placement=making.keys[1].placement), *making.keys[1:])),
    ]
    assert len({one.key() for one in (making, *others)}) == len(others) + 1


def test_prose_changes_nothing_that_is_made(tmp_path: Path) -> None:
    """Whoever corrects a sentence does not wait for the engraver."""
    keys = []
    for text in ("Summary of a climb", "Better summary"):
        entry = ENTRIES["devices/climb.md"].replace("\n---\n", f"\n---\n{text}.\n")
        reading = read_glossary(write(tmp_path / text, {**ENTRIES, "devices/climb.md": entry}))
        keys.append(Making.of(_worked(reading.glossary.device["climb"], Settings())).key())
    assert keys[0] == keys[1]


def test_failures_are_not_kept(making: Making, done: tuple[Made, bytes]) -> None:
    """What could not be engraved is tried again by the next build."""
    results = done[0].engravings
    assert making.packed(making.finish(results)) is not None
    failed = making.finish([EngravingFailure("climb", "C", "crashed"), *results[1:]])
    assert making.packed(failed) is None


PART = "devices/climb/parts/treble-C.js"
SCORE = "devices/climb/C.musicxml"


def _as_part(change: Callable[[dict[str, Any]], object]) -> Callable[[list[Any]], object]:
    def changed(kept: list[Any]) -> None:
        text = kept[2][PART]
        start = text.index("{")
        content = json.loads(text[start : text.rindex("}") + 1])
        change(content)
        said = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
        kept[2][PART] = f"{text[:start]}{said});\n"

    return changed


def _as_score(part: str) -> Callable[[list[Any]], object]:
    return lambda kept: kept[2].update({SCORE: kept[2][SCORE].replace("<part ", part)})


@pytest.mark.parametrize(
    "change",
    [
        lambda kept: kept.pop(),
        lambda kept: kept[1].pop("C"),
        lambda kept: kept[1].update(C=1),
        lambda kept: kept[2].pop(SCORE),
        lambda kept: kept[2].update({"devices/climb/evil.html": "<script>alert(1)</script>"}),
        _as_score('<html:script xmlns:html="http://www.w3.org/1999/xhtml">alert(1)</html:script><part '),
        _as_score('<script xmlns="http://www.w3.org/1999/xhtml">alert(1)</script><part '),
        _as_score("<!-- --><part "),
        _as_score('<part onload="alert(1)" '),
        _as_score("<part onload='alert(1)' "),
        lambda kept: kept[2].update({SCORE: "<html>"}),
        lambda kept: kept[2].update({PART: f"alert(1);{kept[2][PART]}"}),
        lambda kept: kept[2].update({PART: kept[2][PART].replace(");\n", ");alert(1);\n")}),
        lambda kept: kept[2].update({PART: kept[2][PART].replace("{", "{ ", 1)}),
        _as_part(lambda content: content.update(svg="<script>alert(1)</script>")),
        _as_part(lambda content: content.update(slashes="<script>alert(1)</script>")),
        _as_part(lambda content: content.update(words=[1])),
        _as_part(lambda content: content.update(more="")),
        lambda kept: kept[3].update({"glyph-E0A4": "<script>alert(1)</script>"}),
    ],
)
def test_nothing_is_taken_that_we_do_not_write(
    making: Making, done: tuple[Made, bytes], change: Callable[[list[Any]], object]
) -> None:
    """A cache that a stranger has filled brings neither a script nor a file of its own."""
    kept = json.loads(zlib.decompress(done[1]))
    change(kept)
    assert making.unpacked(zlib.compress(json.dumps(kept, ensure_ascii=False).encode())) is None


class _Losing(InThisProcess):
    """An executor whose workers die."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN002, ANN003, ANN202, ARG002
        """Delivers nothing."""
        lost: Future[object] = Future()
        lost.set_exception(WorkerLostError("crashed"))
        return lost


def test_a_lost_worker_costs_nothing_but_time(making: Making, done: tuple[Made, bytes]) -> None:
    """What a worker did not deliver is engraved figure by figure, and the rest made from that."""
    press = Press[Made](_Losing())
    press.begin(making)
    assert list(press.collect()) == [(1, 1)]
    assert press.made == {"climb": done[0]}
