"""Finds a glossary and its options by mkdocs.yml, without MkDocs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

from transposary.glossary import Kind
from transposary.problems import Place
from transposary.settings import Import, Settings
from transposary.theory.keys import check_tonics

CONFIGURATION = "mkdocs.yml"


@dataclass(frozen=True, slots=True)
class Located:
    """Where a glossary is, and what its options say.

    Attributes:
        root: The folder of its entries.
        settings: The options.
        title: What it calls itself, or empty.
        author: Whose it is, or empty.
        address: Where it is published, or empty.
        left_out: Patterns of files of the folder that are not published, as `.gitignore` has them.
    """

    root: Path
    settings: Settings
    title: str = ""
    author: str = ""
    address: str = ""
    left_out: tuple[str, ...] = ()


def find_glossary(folder: Path, *, empty: bool = False) -> Located | str:
    """Finds the entries that belong to a folder.

    Args:
        folder: The folder of mkdocs.yml, or the one that holds the folders of entries.
        empty: Whether the folder that mkdocs.yml names may be missing, as before the first entry.

    Returns:
        The glossary, or why there is none, for the user.
    """
    path = folder / CONFIGURATION
    if not path.is_file():
        if any((folder / kind.value).is_dir() for kind in Kind):
            return Located(folder, Settings())
        return f"neither {CONFIGURATION} nor a folder of entries is in {folder.resolve()}"
    try:
        read = yaml.load(path.read_bytes(), Loader=_Tolerant)  # noqa: S506  # a SafeLoader, see there
    except yaml.YAMLError as error:
        return f"{path} cannot be read: {' '.join(str(error).split())}"
    configuration = read if isinstance(read, dict) else {}
    root = folder / str(configuration.get("docs_dir", "docs"))
    if not root.is_dir() and not empty:
        return f"the folder {root} that {path} names as docs_dir does not exist; make it"
    title, author, address, excluded, drafts = (
        value if isinstance(value := configuration.get(name), str) else ""
        for name in ("site_name", "site_author", "site_url", "exclude_docs", "draft_docs")
    )
    settings = _settings(configuration.get("plugins"), path)
    left_out = (*excluded.splitlines(), *drafts.splitlines())
    return Located(root, settings, title, author, address, left_out)


class _Tolerant(yaml.SafeLoader):
    """Reads mkdocs.yml, and takes tags that MkDocs knows (`!ENV`, `!!python/name`) for nothing."""


def _nothing(loader: yaml.SafeLoader, suffix: str, node: yaml.Node) -> None:
    """Stands for a value that only MkDocs can make."""


_Tolerant.add_multi_constructor("!", _nothing)
_Tolerant.add_multi_constructor("tag:yaml.org,2002:python/", _nothing)


def imports_of(given: object, configuration: Path) -> tuple[Import, ...]:
    """Finds the other glossaries that the option `import` names.

    Args:
        given: The option: paths by name.
        configuration: The file that holds it; paths are relative to its folder.
    """
    if not isinstance(given, dict) or not given:
        return ()
    lines = configuration.read_text(encoding="utf-8", errors="replace").splitlines()
    return tuple(
        Import(str(name), str(path), configuration.parent / str(path), _place(str(path), lines))
        for name, path in sorted(given.items(), key=lambda one: str(one[0]))
    )


def _place(text: str, lines: Sequence[str]) -> Place:
    """Finds where a text stands in the configuration, which problems name from the entries folder."""
    for number, line in enumerate(lines, 1):
        if text in line:
            return Place(f"../{CONFIGURATION}", number, line.index(text) + 1)
    return Place(f"../{CONFIGURATION}")


def _settings(plugins: object, configuration: Path) -> Settings:
    """Takes the plugin's options as far as they are well formed; MkDocs complains of the rest."""
    default = Settings()
    options = next(_options(plugins), {})
    hand_span = options.get("hand_span")
    given = options.get("tonics")
    tonics = {str(slot): str(name) for slot, name in given.items()} if isinstance(given, dict) else {}
    return Settings(
        hand_span if isinstance(hand_span, int) else default.hand_span,
        {} if check_tonics(tonics) else tonics,
        imports=imports_of(options.get("import"), configuration),
        publish_practice=options.get("publish_practice") is True,
    )


def _options(plugins: object) -> Iterator[Mapping[str, object]]:
    several = plugins if isinstance(plugins, list) else [plugins]
    for one in several:
        if isinstance(one, dict) and isinstance(one.get("transposary"), dict):
            yield one["transposary"]
