"""Archives made to do harm: each is refused by name, and nothing of it is unpacked."""

from __future__ import annotations

import json
import stat
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZipFile, ZipInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transposary.importing import read_all
from transposary.importing.archive import MOST_BYTES, MOST_FILES, unpack
from transposary.problems import Fault, Place
from transposary.reading import Reading
from transposary.settings import Import, Settings

DEVICE = (
    "---\ntitle: Walk\nsummary: Four notes.\nrole: bass\nnotation: |\n"
    '  M: 4/4\n  L: 1/4\n  K: G clef=bass\n  "G"G,, A,, B,, C,|\n---\nWords.\n'
)
MANIFEST = json.dumps({"format": 1, "title": "Horns", "author": "", "address": ""})
PLACE = Place("../mkdocs.yml", 7, 16)


def _import(tmp_path: Path, path: Path) -> Reading:
    (tmp_path / "home/devices").mkdir(parents=True, exist_ok=True)
    return read_all(tmp_path / "home", Settings(imports=(Import("horns", path.name, path, PLACE),)))


def _archive(tmp_path: Path, fill: Callable[[ZipFile], None]) -> Path:
    path = tmp_path / "horns.zip"
    with ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("transposary.json", MANIFEST)
        archive.writestr("devices/walk.md", DEVICE)
        fill(archive)
    return path


def _refusal(reading: Reading) -> str:
    """Gives why an import was refused, and holds that nothing came of it."""
    assert list(reading.glossary.entries()) == []
    (problem,) = reading.problems
    assert (problem.place, problem.rule) == (PLACE, "import.source")
    return problem.text.removeprefix("`horns.zip` is not imported: ")


@pytest.mark.parametrize(
    "name",
    [
        "../../evil.md",
        "devices/../../evil.md",
        "/srv/evil.md",
        "C:/evil.md",
        "devices\\..\\evil.md",
        "devices//evil.md",
        "devices/",
        "./devices/evil.md",
        "devices/evil\n.md",
    ],
)
def test_a_path_out_of_the_folder(tmp_path: Path, name: str) -> None:
    """A member that would lie elsewhere refuses the archive, however its path is written."""
    # A member's name is changed on its way into the archive on some systems, so it is set afterwards.
    member = ZipInfo("x")
    member.filename = name
    path = _archive(tmp_path, lambda archive: archive.writestr(member, DEVICE))
    before = sorted(tmp_path.rglob("*"))
    assert _refusal(_import(tmp_path, path)) == f"`{ascii(name)[1:-1]}` would lie outside of its folder"
    assert set(tmp_path.rglob("*")) - set(before) == {tmp_path / "home", tmp_path / "home/devices"}


def test_a_symbolic_link(tmp_path: Path) -> None:
    """A link would make the reader open what it points to."""
    link = ZipInfo("devices/link.md")
    link.create_system = 3
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    path = _archive(tmp_path, lambda archive: archive.writestr(link, "/etc/passwd"))
    assert _refusal(_import(tmp_path, path)) == "`devices/link.md` is no file but a link or a device"


def test_a_huge_expansion(tmp_path: Path) -> None:
    """A small archive that would fill the disk is refused before anything is unpacked."""
    path = _archive(
        tmp_path, lambda archive: archive.writestr("devices/zeros.md", b"\0" * (MOST_BYTES + 1), None, 9)
    )
    assert path.stat().st_size < MOST_BYTES / 500
    said = _refusal(_import(tmp_path, path))
    assert said.startswith("expected at most 50,000,000 bytes when unpacked, found 50,000,")


def test_a_size_that_is_a_lie(tmp_path: Path) -> None:
    """What unpacks to more than it says ends where it said it would, and is refused."""
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/zeros.md", b"\0" * 1_000_000))
    data = path.read_bytes()
    size = (1_000_000).to_bytes(4, "little")
    assert data.count(size) == 2
    path.write_bytes(data.replace(size, (10).to_bytes(4, "little")))
    said = _refusal(_import(tmp_path, path))
    assert said == "it is no zip archive that can be read: Bad CRC-32 for file 'devices/zeros.md'"


def test_a_size_that_is_a_lie_costs_no_memory(tmp_path: Path) -> None:
    """What would unpack to much more than it says is never held, not even for a moment."""
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/zeros.md", b"\0" * 20_000_000))
    path.write_bytes(path.read_bytes().replace((20_000_000).to_bytes(4, "little"), bytes((10, 0, 0, 0))))
    tracemalloc.start()
    try:
        assert unpack(path, tmp_path) is not None
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


def test_a_way_of_packing_that_cannot_be_bounded(tmp_path: Path) -> None:
    """A few bytes that these unpack at one go may be megabytes."""
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/x.md", b"x" * 99, zipfile.ZIP_LZMA))
    assert _refusal(_import(tmp_path, path)) == "`devices/x.md` is neither stored nor deflated"


@settings(max_examples=300)
@given(at=st.integers(0, 2**31), value=st.integers(0, 255), cut=st.integers(0, 2**31))
def test_a_damaged_archive_never_raises(at: int, value: int, cut: int) -> None:
    """Whatever byte is another one, and wherever it ends, it is unpacked or refused."""
    with TemporaryDirectory() as name:
        path = _archive(Path(name), lambda archive: archive.writestr("scores/é.xml", "x"))
        data = bytearray(path.read_bytes())
        data[at % len(data)] = value
        path.write_bytes(data[: None if cut % 3 else cut % len(data)])
        assert isinstance(unpack(path, Path(name)), Fault | None)


def test_too_many_files(tmp_path: Path) -> None:
    """Nobody's glossary has so many entries."""

    def fill(archive: ZipFile) -> None:
        for number in range(MOST_FILES):
            archive.writestr(f"devices/a{number}.md", "")

    path = _archive(tmp_path, fill)
    assert _refusal(_import(tmp_path, path)) == "expected at most 5,000 files, found 5,002"


@pytest.mark.parametrize(
    "name", ["devices/run.py", "index.html", "devices/walk.md.exe", "mkdocs.yml", "a.js"]
)
def test_what_no_glossary_needs(tmp_path: Path, name: str) -> None:
    """An archive holds entries, scores and nothing else."""
    path = _archive(tmp_path, lambda archive: archive.writestr(name, "x"))
    assert _refusal(_import(tmp_path, path)) == f"`{name}` is neither an entry nor a score"


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_files_of_one_name(tmp_path: Path) -> None:
    """The second would take the place of the first, which may have been looked at."""
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/walk.md", "x"))
    assert _refusal(_import(tmp_path, path)) == "it holds `devices/walk.md` twice"


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("title", "<script>alert(1)</script>", "its own name holds HTML, found `<script>alert(1)</script>`"),
        ("author", "<b>Me</b>", "its own name holds HTML, found `<b>Me</b>`"),
        ("address", "javascript:alert(1)", "its address is none of the web, found `javascript:alert(1)`"),
        ("format", 2, "it is written in format 2, and format 1 is read"),
        ("format", "one", "it is written in format 'one', and format 1 is read"),
    ],
)
def test_a_manifest_that_cannot_be_shown(tmp_path: Path, field: str, value: object, said: str) -> None:
    """Who is credited is named in words; a format of another day is named as well."""
    path = tmp_path / "horns.zip"
    with ZipFile(path, "w") as archive:
        archive.writestr("transposary.json", json.dumps(json.loads(MANIFEST) | {field: value}))
        archive.writestr("devices/walk.md", DEVICE)
    assert _refusal(_import(tmp_path, path)) == said


@pytest.mark.parametrize(
    ("field", "line"),
    [
        ("title: Walk", 'title: "Walk<img src=x onerror=alert(1)>"'),
        ("summary: Four notes.", 'summary: "Four <b>notes</b>."'),
        ("role: bass", 'role: bass\ngenres: ["<script>"]'),
        ("role: bass", 'role: bass\nheard_in:\n  - title: "</p><script>"'),
        ("role: bass", 'role: bass\nconcepts: ["<svg/onload=a>"]'),
    ],
)
def test_html_where_words_stand(tmp_path: Path, field: str, line: str) -> None:
    """A title that is HTML is no title: the archive is refused, and the entry named."""
    entry = DEVICE.replace(field, line)
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/other.md", entry))
    said = _refusal(_import(tmp_path, path))
    assert said.startswith("horns/devices/other.md holds HTML where words stand, found `")


@pytest.mark.parametrize(
    ("prose", "said"),
    [
        ("[" * 501, "the prose of horns/devices/other.md has 501 square brackets, more than 500"),
        ("a " * 60_000, "the prose of horns/devices/other.md has 120,000 characters, more than 100,000"),
    ],
)
def test_prose_that_never_ends(tmp_path: Path, prose: str, said: str) -> None:
    """What would keep Markdown busy for hours is refused before it is rendered."""
    entry = DEVICE.replace("title: Walk", "title: Other").replace("Words.\n", prose)
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/other.md", entry))
    assert _refusal(_import(tmp_path, path)) == said


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            DEVICE[DEVICE.index("notation") : DEVICE.index("---\nWords")],
            "score: ../../secret.musicxml\n",
            "expected a score within the folder of the glossary, found `../../secret.musicxml`",
        ),
        (
            "role: bass",
            'role: bass\nheard_in:\n  - title: "A"\n    link: "javascript:alert(1)"',
            "expected a link that begins with https://, found `javascript:alert(1)`",
        ),
    ],
)
def test_an_entry_that_reaches_out(tmp_path: Path, old: str, new: str, said: str) -> None:
    """A score elsewhere is not opened, a link that would run is none; the entry is left out by name."""
    (tmp_path / "secret.musicxml").write_text("<score-partwise/>", encoding="utf-8")
    entry = DEVICE.replace("title: Walk", "title: Other").replace(old, new)
    path = _archive(tmp_path, lambda archive: archive.writestr("devices/other.md", entry))
    reading = _import(tmp_path, path)
    assert [one.slug for one in reading.glossary.devices] == ["horns/walk"]
    (problem,) = reading.problems
    assert (problem.place.file, problem.rule) == ("horns/devices/other.md", "import.entry")
    assert said in problem.text


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 no", b"\0" * 100, MANIFEST.encode()])
def test_what_is_no_archive(tmp_path: Path, data: bytes) -> None:
    """Any other file is refused without a traceback."""
    path = tmp_path / "horns.zip"
    path.write_bytes(data)
    assert _refusal(_import(tmp_path, path)).startswith("it is no zip archive that can be read: ")


def test_a_folder_with_a_way_out(tmp_path: Path) -> None:
    """A folder is looked through for links that lead out of it; those within are its own business."""
    secret = tmp_path / "secret.md"
    secret.write_text(DEVICE, encoding="utf-8")
    horns = tmp_path / "horns.zip"
    (horns / "devices").mkdir(parents=True)
    (horns / "devices/walk.md").write_text(DEVICE, encoding="utf-8")
    (horns / "devices/walk-again.md").symlink_to(horns / "devices/walk.md")
    assert [one.slug for one in _import(tmp_path, horns).glossary.devices] == ["horns/walk"]
    (horns / "devices/leak.md").symlink_to(secret)
    assert _refusal(_import(tmp_path, horns)) == "`devices/leak.md` is a link that leads out of the folder"


@pytest.mark.parametrize("name", ["devices", "Horns", "a/b", "..", ""])
def test_a_name_that_would_shadow(tmp_path: Path, name: str) -> None:
    """A source is called by a plain name that no folder of the glossary has."""
    settings = Settings(imports=(Import(name, "horns.zip", tmp_path, PLACE),))
    (problem,) = read_all(tmp_path, settings).problems
    assert problem.text == (
        f"`horns.zip` is not imported: the name of a source has a to z, 0 to 9 and `-`, found `{name}`"
    )
