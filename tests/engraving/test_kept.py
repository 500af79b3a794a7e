"""Engravings in the cache."""

import json
import zlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from tests.engraving.samples import STEPPING_OUT, TWO_HANDS
from transposary.cache import Cache
from transposary.engraving import Engraving, Job, engrave, pool
from transposary.engraving.kept import Figures, as_json, figures_in, key_of_jobs, packed
from transposary.notes import notes
from transposary.passage import Passage
from transposary.pitch import Pitch
from transposary.problems import Place


def _job(passage: Passage, slot: str = "G", slug: str = "device") -> Job:
    return Job(slug, slot, passage, ("",) * len(notes(passage)))


LIKE = (STEPPING_OUT, ("",) * len(notes(STEPPING_OUT)))
JOBS = [replace(_job(STEPPING_OUT), like=LIKE), replace(_job(TWO_HANDS, "Eb"), like=LIKE)]


@pytest.fixture(scope="module")
def drawn() -> tuple[Engraving, ...]:
    """Two figures of a device, drawn without a cache."""
    return tuple(one for one in engrave(JOBS, 1) if isinstance(one, Engraving))


@pytest.fixture
def cache(tmp_path: Path) -> Cache:
    """An empty cache."""
    return Cache(tmp_path / "cache")


def _kept(data: bytes, jobs: Sequence[Job] = ()) -> tuple[Engraving, ...] | None:
    return figures_in(data, "device", [job.slot for job in jobs or JOBS])


def test_kept_figures_are_those_that_were_drawn(
    cache: Cache, drawn: tuple[Engraving, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A warm build has what a cold one has, and draws nothing."""
    assert engrave(JOBS, 1, cache) == drawn
    monkeypatch.delattr(pool, "draw_here")
    assert engrave(JOBS, 1, cache) == drawn


def test_only_what_changed_is_drawn_again(cache: Cache, drawn: tuple[Engraving, ...]) -> None:
    """Another device beside it leaves a device as it is in the cache."""
    engrave(JOBS, 1, cache)
    others = [replace(job, slug="another") for job in JOBS]
    both = engrave([*others, *JOBS], 1, cache)
    assert both[2:] == drawn
    assert [one.slug for one in both] == ["another", "another", "device", "device"]


def test_a_key_depends_on_all_that_is_drawn() -> None:
    """Notes, words, names and what stands beside change the key; where the notes were written does not."""
    job = _job(STEPPING_OUT)
    voice = STEPPING_OUT.voices[0]
    moved = replace(voice, events=(replace(voice.events[0], place=Place("x.md", 7)), *voice.events[1:]))
    fingered = replace(voice.events[0], heads=(replace(voice.events[0].heads[0], finger=2),))
    variants = [
        job,
        replace(job, slot="C"),
        replace(job, slug="other"),
        replace(job, labels=("1", *job.labels[1:])),
        replace(job, beside=(TWO_HANDS, ())),
        replace(job, above=(TWO_HANDS, ())),
        replace(job, like=(TWO_HANDS, ())),
        _job(replace(STEPPING_OUT, voices=(replace(voice, events=(fingered, *voice.events[1:])),))),
    ]
    assert len({key_of_jobs([one]) for one in variants}) == len(variants)
    assert key_of_jobs([_job(replace(STEPPING_OUT, voices=(moved,)))]) == key_of_jobs([job])


def test_failures_are_tried_again(cache: Cache) -> None:
    """Nothing is kept of a device as long as one of its figures fails."""
    voice = STEPPING_OUT.voices[0]
    sharpest = replace(voice.events[0], heads=(replace(voice.events[0].heads[0], pitch=Pitch(14, 4)),))
    bad = replace(STEPPING_OUT, voices=(replace(voice, events=(sharpest, *voice.events[1:])),))
    jobs = [*JOBS, replace(_job(bad, "C"), like=LIKE)]
    assert not isinstance(engrave(jobs, 1, cache)[2], Engraving)
    assert [cache.get(one.key()) for one in Figures.of(jobs)] == [None]


@pytest.mark.parametrize(
    "svg",
    [
        '<svg role="img" width="1"><script>alert(1)</script></svg>',
        '<svg role="img" width="1"><g onload="alert(1)"></g></svg>',
        '<svg role="img" width="1"/onload="alert(1)"></svg>',
        '<svg role="img" width="1"><text x="1">" <script> "</text></svg>',
        '<svg role="img" width="1"><g d="1" " onload= " alert(1) "></g></svg>',
        '<svg role="img" width="1"><g onload=alert(1)></g></svg>',
        "<svg role=\"img\" width='1' onload='alert(1)'></svg>",
        '<svg role="img" width="1"><g style="position:fixed"></g></svg>',
        '<svg role="img" width="1"><use href="https://example.org/x#y"/></svg>',
        '<svg role="img" width="1"><rect fill="url(https://example.org/x)"/></svg>',
        '<svg role="img" width="1"><image x="1"/></svg>',
        '<svg role="img" width="1"></svg><img onerror=alert(1)>',
        '<p><svg role="img" width="1"></svg></p>',
    ],
)
def test_nothing_but_a_drawing_is_taken(drawn: tuple[Engraving, ...], svg: str) -> None:
    """A cache that a stranger has filled brings nothing onto a page that we do not write."""
    assert _kept(packed(as_json(drawn))) == drawn
    assert _kept(packed(as_json([drawn[0], replace(drawn[1], svg=svg)]))) is None


def test_foreign_glyphs_are_not_taken(drawn: tuple[Engraving, ...]) -> None:
    """A glyph is a path with its own name."""
    for definition in ("<script/>", '<path id="glyph-E000" transform="scale(1 1)" d="M0 0"/>'):
        glyphs = (*drawn[0].glyphs, ("glyph-E999", definition))
        assert _kept(packed(as_json([replace(drawn[0], glyphs=glyphs), drawn[1]]))) is None


@pytest.mark.parametrize(
    "content", [b"", b"{}", zlib.compress(b"[1"), zlib.compress(b"[{}, [1]]"), zlib.compress(b"[{}, []]")]
)
def test_other_contents_are_not_taken(content: bytes) -> None:
    """What has another form than ours counts as missing."""
    assert _kept(content) is None


def test_deep_json_is_not_taken() -> None:
    """A file made to exhaust the reader counts as missing."""
    assert _kept(zlib.compress(b"[" * 200_000)) is None
    assert _kept(zlib.compress(json.dumps([{}, [["<svg></svg>", []]]]).encode())) is None


def test_what_is_not_ours_is_drawn_again(cache: Cache, drawn: tuple[Engraving, ...]) -> None:
    """Figures that a stranger has put into the cache are replaced by what is drawn, there too."""
    key = key_of_jobs(JOBS)
    cache.put(key, packed(as_json([drawn[0], replace(drawn[1], svg="<script>alert(1)</script>")])))
    assert engrave(JOBS, 1, cache) == drawn
    data = cache.get(key)
    assert data is not None
    assert _kept(data) == drawn
