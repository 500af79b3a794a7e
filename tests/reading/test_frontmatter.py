"""Front matter to a tree: what each value says and where each of its characters stood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from transposary.problems import Place
from transposary.reading.frontmatter import read_front_matter
from transposary.reading.source import split_entry
from transposary.reading.tree import Listing, Node, Scalar, Table, Unread, node_at

ENTRIES = Path(__file__).parent.parent.parent / "entries"


def table(fields: str) -> Table:
    """Reads fields in which nothing is wrong."""
    entry, trouble = split_entry(f"---\n{fields}---\n".encode(), "devices/x.md")
    assert entry is not None
    found, problems = read_front_matter(entry)
    assert (trouble, problems) == ((), ())
    return found


def scalar(fields: str, *path: str | int) -> Scalar:
    """Reads fields and gives one scalar of them."""
    node = node_at(table(fields), path)
    assert isinstance(node, Scalar)
    return node


@pytest.mark.parametrize(
    ("fields", "value", "needle", "line", "column"),
    [
        ("a: one two\n", "one two", "two", 2, 8),
        ('a: "one two"\n', "one two", "two", 2, 9),
        ("a: 'it''s two'\n", "it's two", "two", 2, 11),
        ('a: "\\u266d3 two"\n', "♭3 two", "two", 2, 13),
        ('a: "one\n\n   two"\n', "one\ntwo", "two", 4, 4),
        ('a: "one \\\n   two"\n', "one two", "two", 3, 4),
        ("a: one\n  two\n", "one two", "two", 3, 3),
        ("a: >\n  one\n  two\n\n  three\n", "one two\nthree\n", "three", 6, 3),
        ("a: |\n  one\n   two\n", "one\n two\n", "two", 4, 4),
        ("a: |\n\n    one\n    two\n", "\none\ntwo\n", "two", 5, 5),
        ("a: |2\n    one\n  two\n", "  one\ntwo\n", "one", 3, 5),
        ("a: |\n  one\n\n  two\n", "one\n\ntwo\n", "two", 5, 3),
    ],
)
def test_a_character_keeps_its_place(fields: str, value: str, needle: str, line: int, column: int) -> None:
    """Whatever the style of a text, each of its characters knows its line and column."""
    source = scalar(fields, "a").source
    assert source.value == value
    assert source.place(value.index(needle)) == Place("devices/x.md", line, column)


def test_names_and_items_have_places() -> None:
    """Names of fields, lists and their items know where they stand."""
    found = table("heard_in:\n- song: a\n- title: b\n  where: c\n")
    second = node_at(found, ("heard_in", 1))
    assert isinstance(second, Table)
    key = second.key("where")
    assert key is not None
    assert key.place == Place("devices/x.md", 5, 3)
    assert second.place == Place("devices/x.md", 4, 3)


def test_windows_and_old_mac_files_read_alike() -> None:
    """A byte order mark and other line ends change neither values nor places."""
    plain = "---\ntitle: One\nrole: bass\n---\nProse.\n"
    entries = [
        split_entry(data, "devices/x.md")
        for data in (
            plain.encode(),
            plain.replace("\n", "\r\n").encode("utf-8-sig"),
            plain.replace("\n", "\r").encode(),
        )
    ]
    assert entries[0] == entries[1] == entries[2]


def test_what_yaml_guesses_is_kept_as_written() -> None:
    """Numbers, booleans and dates stay the author's own characters."""
    found = table("a: no\nb: 1:30\nc: 2026-03-14\nd: 012\ne: ~\nf: 1e3\n")
    values = [node.source.value for _, node in found.fields if isinstance(node, Scalar)]
    assert values == ["no", "1:30", "2026-03-14", "012", "~", "1e3"]


def test_one_unreadable_claim_leaves_the_others() -> None:
    """What YAML cannot read is left out alone, wherever it is nested."""
    text = '---\ntheory:\n  degrees: "1\n  harmony: "I"\nheard_in:\n  - song: a: b\n  - song: c\n---\n'
    entry, _ = split_entry(text.encode(), "devices/x.md")
    assert entry is not None
    found, problems = read_front_matter(entry)
    assert isinstance(node_at(found, ("theory", "degrees")), Unread)
    assert isinstance(node_at(found, ("theory", "harmony")), Scalar)
    heard = found.value("heard_in")
    assert isinstance(heard, Listing)
    assert isinstance(heard.items[1], Table)
    assert [str(problem.place) for problem in problems] == ["devices/x.md:3:12", "devices/x.md:6:12"]


@pytest.mark.parametrize(
    ("data", "text"),
    [
        (b"---\n" + b"x" * 1_000_000, "expected an entry of at most 1,000,000 bytes, found 1,000,004"),
        (
            b"---\n" + b"a: b\n" * 3000 + b"---",
            "expected an entry of at most 2,000 lines of fields, found 3,001",
        ),
    ],
)
def test_a_file_of_another_size_is_refused_unread(data: bytes, text: str) -> None:
    """A file too large for an entry is refused before anything in it is looked at."""
    entry, problems = split_entry(data, "devices/x.md")
    assert entry is None
    assert [problem.text for problem in problems] == [text]


@pytest.mark.parametrize(
    "fields",
    [
        "".join(f"{' ' * depth}a:\n" for depth in range(400)) + "x: '\n",
        "a: '\n" * 900,
        "a: " + "[" * 90_000 + "\n",
        "- a: b: c\n" * 900,
        "a: &a [" + "*a, " * 900 + "]\n",
    ],
    ids=["deep", "quotes", "brackets", "items", "aliases"],
)
def test_what_could_cost_the_reader_its_stack_or_its_time_is_only_reported(fields: str) -> None:
    """Nesting, cross-references and floods of mistakes end in problems like any others."""
    entry, _ = split_entry(f"---\n{fields}---\n".encode(), "devices/x.md")
    assert entry is not None
    _, problems = read_front_matter(entry)
    assert problems != ()


def scalars(node: Node) -> Iterator[Scalar]:
    """Walks through the values below a node, and the names of fields."""
    match node:
        case Scalar():
            yield node
        case Table():
            for key, value in node.fields:
                yield key
                yield from scalars(value)
        case Listing():
            for item in node.items:
                yield from scalars(item)


@pytest.mark.parametrize("path", sorted(ENTRIES.glob("*/*.md")), ids=lambda path: path.stem)
def test_every_character_of_the_demo_is_where_it_says(path: Path) -> None:
    """In each value of each demo entry, each character stands in the file at its own place."""
    lines = path.read_text(encoding="utf-8").split("\n")
    entry, _ = split_entry(path.read_bytes(), path.name)
    if entry is None:
        assert path.name == "index.md"
        return
    for one in scalars(read_front_matter(entry)[0]):
        for offset, character in enumerate(one.source.value):
            place = one.source.place(offset)
            assert character.isspace() or lines[place.line - 1][place.column - 1] == character


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.text("abx |#♭:'-\"%/é", max_size=25), min_size=1, max_size=4).map("\n".join),
    st.sampled_from(["'", "|", ">", '"', None]),
    st.integers(8, 30),
)
def test_what_yaml_writes_is_read_back_in_its_place(value: str, style: str | None, width: int) -> None:
    """However YAML folds and quotes a text, the text comes back, and its characters know their places."""
    text = yaml.safe_dump({"a": {"b": [value]}}, default_style=style, width=width, allow_unicode=True)
    entry, trouble = split_entry(f"---\n{text}---\n".encode(), "devices/x.md")
    assert entry is not None
    found, problems = read_front_matter(entry)
    assert (trouble, problems) == ((), ())
    one = node_at(found, ("a", "b", 0))
    assert isinstance(one, Scalar)
    # YAML does not always read back what it folded; its own reader says what stands there.
    assert one.source.value == yaml.safe_load(text)["a"]["b"][0]
    for offset, character in enumerate(one.source.value):
        place = one.source.place(offset)
        assert character.isspace() or entry.lines[place.line - 1][place.column - 1] in {character, "\\"}
