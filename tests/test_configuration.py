"""Finding a glossary by mkdocs.yml."""

from __future__ import annotations

from pathlib import Path

import pytest

from transposary.configuration import Located, find_glossary
from transposary.settings import Settings


def located(folder: Path, text: str) -> Located | str:
    """Finds the glossary of a folder with this mkdocs.yml."""
    (folder / "mkdocs.yml").write_text(text, encoding="utf-8")
    (folder / "docs").mkdir()
    return find_glossary(folder)


@pytest.mark.parametrize(
    ("text", "settings"),
    [
        ("", Settings()),
        ("plugins: [search, transposary]\n", Settings()),
        ("plugins:\n  - transposary:\n      hand_span: 12\n", Settings(hand_span=12)),
        ("plugins:\n  - transposary:\n      hand_span: wide\n", Settings()),
        ("plugins:\n  transposary:\n    tonics: {Gb major: F#}\n", Settings(tonics={"Gb major": "F#"})),
        ("site_url: !ENV [URL, x]\nplugins:\n  - transposary: {}\n", Settings()),
        ("a:\n  b: !!python/name:c.d\n  e: !!python/object/apply:f.g\n    kwds: {h: i}\n", Settings()),
    ],
)
def test_options_are_read_without_mkdocs(tmp_path: Path, text: str, settings: Settings) -> None:
    """Options come from the plugin's place in mkdocs.yml, whatever else stands there."""
    assert located(tmp_path, text) == Located(tmp_path / "docs", settings)


def test_what_is_not_published_is_known(tmp_path: Path) -> None:
    """Patterns of what MkDocs leaves out, and of what it shows to the author alone."""
    text = "exclude_docs: |\n  old/\n  *.tmp\ndraft_docs: next.md\nnot_in_nav: a.md\n"
    assert located(tmp_path, text) == Located(
        tmp_path / "docs", Settings(), left_out=("old/", "*.tmp", "next.md")
    )


def test_a_folder_of_entries_needs_no_configuration(tmp_path: Path) -> None:
    """The folder that holds the entries can be given itself."""
    (tmp_path / "songs").mkdir()
    assert find_glossary(tmp_path) == Located(tmp_path, Settings())


def test_what_is_wrong_with_mkdocs_yml_is_said(tmp_path: Path) -> None:
    """A file that cannot be read, or names no folder, is named."""
    path = tmp_path / "mkdocs.yml"
    assert located(tmp_path, "docs_dir: texts\n") == (
        f"the folder {tmp_path / 'texts'} that {path} names as docs_dir does not exist; make it"
    )
    path.write_text("a: b: c\n", encoding="utf-8")
    assert str(find_glossary(tmp_path)).startswith(
        f"{path} cannot be read: mapping values are not allowed here"
    )
