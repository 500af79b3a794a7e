"""What is made of a device in a worker, and kept."""

import json
from collections.abc import Callable, Collection
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.site.book import ENTRIES, write
from transposary.build import _worked
from transposary.engraving import Engraving, EngravingFailure, Press
from transposary.engraving.kept import joined, packed, part_of, unpacked
from transposary.engraving.pool import InThisProcess, draw_here
from transposary.engraving.works import Done, Result
from transposary.processes import WorkerLostError
from transposary.reading import read_glossary
from transposary.settings import Settings
from transposary.site.making import Drawn, Making, drawn_in, file_names, files_in
from transposary.site.worked import as_played
from transposary.theory.keys import SLOTS


@pytest.fixture(scope="module")
def making(tmp_path_factory: pytest.TempPathFactory) -> Making:
    """The work of a device."""
    reading = read_glossary(write(tmp_path_factory.mktemp("entries"), ENTRIES))
    return Making.of(_worked(reading.glossary.device["climb"], Settings()))


@pytest.fixture(scope="module")
def results(making: Making) -> list[Result]:
    """What is engraved of it."""
    return draw_here(making.jobs())


@pytest.fixture(scope="module")
def pack(making: Making, results: list[Result]) -> bytes:
    """What is kept of it."""
    return making.packed(results)


def _drawn(making: Making, data: bytes, failed: Collection[str] = ()) -> Drawn | None:
    played = [as_played(name, making.device, notation) for name, notation in making.versions]
    return drawn_in(data, making.slug, played, failed)


def test_what_is_kept_is_what_was_made(making: Making, results: list[Result], pack: bytes) -> None:
    """Figures, words, music, parts and signs come back as they were made."""
    drawn, files, signs = _drawn(making, pack), files_in(pack, making.slug, ()), making.signs(pack)
    assert drawn is not None
    assert files is not None
    shown = [one for one in results if isinstance(one, Engraving) and not one.slot.startswith("part-")]
    assert list(drawn.engravings.values()) == shown
    assert list(drawn.words) == list(SLOTS)
    assert drawn.words["C"].startswith("C major, 4/4 time")
    assert set(files) == {f"devices/climb/{name}" for name in file_names(frozenset())}
    assert files["devices/climb/C.mid"].startswith(b"MThd")
    assert signs
    assert set(signs) <= {sign for one in results if isinstance(one, Engraving) for sign in one.glyphs}


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


def test_what_failed_is_missing(making: Making, results: list[Result]) -> None:
    """A figure that could not be engraved is not in the pack, nor is the file of its part; the rest is."""
    failed = {"C", "part-treble-C"}
    left = [EngravingFailure("climb", r.slot, "crashed") if r.slot in failed else r for r in results]
    pack = making.packed(left)
    drawn, files = _drawn(making, pack, failed), files_in(pack, making.slug, failed)
    assert drawn is not None
    assert files is not None
    assert "C" in drawn.words
    assert "C" not in drawn.engravings
    assert PART not in files
    # Nobody takes it for the whole.
    assert _drawn(making, pack) is files_in(pack, making.slug, ()) is None


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
        lambda kept: kept[0][1].pop(),
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
    making: Making, pack: bytes, change: Callable[[list[Any]], object]
) -> None:
    """A cache that a stranger has filled brings neither a script nor a file of its own."""
    signs, (drawn, words), files = (unpacked(part_of(pack, number, 3)) for number in range(3))
    kept = [drawn, words, files, dict(signs)]
    change(kept)
    drawn, words, files, signs = kept
    exchanged = joined([packed(sorted(signs.items())), packed([drawn, words]), packed(files)])
    read = making.signs(exchanged), _drawn(making, exchanged), files_in(exchanged, making.slug, ())
    assert None in read


@pytest.mark.parametrize("data", [b"", b"\xff" * 12, b"\0" * 12, b"\0\0\0\1" * 40])
def test_another_form_is_not_taken(making: Making, data: bytes) -> None:
    """What is no pack of ours counts as missing."""
    assert making.signs(data) is _drawn(making, data) is files_in(data, making.slug, ()) is None


class _Losing(InThisProcess):
    """An executor whose workers die."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN002, ANN003, ANN202, ARG002
        """Delivers nothing."""
        lost: Future[object] = Future()
        lost.set_exception(WorkerLostError("crashed"))
        return lost


def test_a_lost_worker_costs_nothing_but_time(making: Making, pack: bytes) -> None:
    """What a worker did not deliver is engraved figure by figure, and the rest made from that."""
    press = Press(_Losing())
    (key,) = press.begin([making])
    assert list(press.collect()) == [(1, 1)]
    assert press.done[key] == Done(key, (), making.signs(pack) or ())
    assert press.packs.get(key) == pack


def test_what_was_made_lies_on_the_disk_before_anybody_waits_for_it(making: Making, pack: bytes) -> None:
    """However long a build is at something else, it holds nothing of what workers deliver meanwhile."""
    press = Press(InThisProcess())
    (key,) = press.begin([making])
    assert press.packs.get(key) == pack
    assert press.done == {}
    assert list(press.collect()) == [(1, 1)]
    # Whoever asks again finds it.
    assert press.begin([making]) == [key]
    assert list(press.collect()) == []
