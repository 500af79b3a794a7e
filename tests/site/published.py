"""Whole sites built by MkDocs in a folder of their own."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig

from tests.site.book import write


@dataclass(frozen=True)
class Published:
    """A finished site.

    Attributes:
        folder: Where it lies.
        messages: What MkDocs and the plugin said, as `LEVEL text`.
    """

    folder: Path
    messages: tuple[str, ...]

    def text(self, name: str) -> str:
        """Gives a file of the site."""
        return (self.folder / name).read_text(encoding="utf-8")


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.INFO)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(f"{record.levelname} {record.getMessage()}")


def configure(folder: Path, entries: Mapping[str, str], **options: object) -> MkDocsConfig:
    """Writes a glossary with its mkdocs.yml, and reads the configuration."""
    write(folder / "entries", entries)
    content: dict[str, object] = {
        "site_name": "Small book",
        "docs_dir": "entries",
        "theme": {"name": "material", "font": False},
        "plugins": ["search", "offline", {"transposary": {"workers": 1}}],
    }
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(content | options), encoding="utf-8")
    return load_config(config_file=str(folder / "mkdocs.yml"))


def publish(config: MkDocsConfig, command: str = "build", serve_url: str | None = None) -> Published:
    """Builds a site with all events from start to end."""
    collector = _Collector()
    logger = logging.getLogger("mkdocs")
    level = logger.level
    logger.addHandler(collector)
    logger.setLevel(logging.INFO)
    try:
        config.plugins.on_startup(command=command, dirty=False)
        try:
            build(config, serve_url=serve_url)
        finally:
            config.plugins.on_shutdown()
    finally:
        logger.removeHandler(collector)
        logger.setLevel(level)
    return Published(Path(config.site_dir), tuple(collector.messages))
