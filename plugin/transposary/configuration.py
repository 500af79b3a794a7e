"""Finds a glossary and its options by mkdocs.yml, without MkDocs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from transposary.glossary import Kind
from transposary.settings import Settings
from transposary.theory.keys import check_tonics

CONFIGURATION = "mkdocs.yml"


@dataclass(frozen=True, slots=True)
class Located:
    """Where a glossary is, and what its options say."""

    root: Path
    settings: Settings


def find_glossary(folder: Path) -> Located | str:
    """Finds the entries that belong to a folder.

    Args:
        folder: The folder of mkdocs.yml, or the one that holds the folders of entries.

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
    if not root.is_dir():
        return f"the folder {root} that {path} names as docs_dir does not exist; make it"
    return Located(root, _settings(configuration.get("plugins")))


class _Tolerant(yaml.SafeLoader):
    """Reads mkdocs.yml, and takes tags that MkDocs knows (`!ENV`, `!!python/name`) for nothing."""


def _nothing(loader: yaml.SafeLoader, suffix: str, node: yaml.Node) -> None:
    """Stands for a value that only MkDocs can make."""


_Tolerant.add_multi_constructor("!", _nothing)
_Tolerant.add_multi_constructor("tag:yaml.org,2002:python/", _nothing)


def _settings(plugins: object) -> Settings:
    """Takes the plugin's options as far as they are well formed; MkDocs complains of the rest."""
    default = Settings()
    options = next(_options(plugins), {})
    hand_span = options.get("hand_span")
    given = options.get("tonics")
    tonics = {str(slot): str(name) for slot, name in given.items()} if isinstance(given, dict) else {}
    return Settings(
        hand_span if isinstance(hand_span, int) else default.hand_span,
        {} if check_tonics(tonics) else tonics,
    )


def _options(plugins: object) -> Iterator[Mapping[str, object]]:
    several = plugins if isinstance(plugins, list) else [plugins]
    for one in several:
        if isinstance(one, dict) and isinstance(one.get("transposary"), dict):
            yield one["transposary"]
