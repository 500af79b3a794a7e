"""`transposary editor`: settings that make editors complete and check entries."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from transposary.cli._outcome import FINE, SENSELESS, WRONG, Commands, Outcome, add_folder_option
from transposary.configuration import find_glossary
from transposary.reading.editors import SCHEMAS, editor_files


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("editor", help="write schemas and settings for your editor")
    parser.add_argument("--check", action="store_true", help="only say whether those written are current")
    add_folder_option(parser)
    parser.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    folder: Path = options.folder
    files = editor_files(Path(os.path.relpath(found.root, folder)).as_posix())
    stale = {name: text for name, text in files.items() if _text(folder / name) != text}
    if options.check:
        return _told(stale)
    # Settings may hold what the author has set besides; schemas and snippets are ours alone.
    kept = [name for name in stale if (folder / name).exists() and not _ours(name)]
    for name in stale.keys() - set(kept):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(files[name], encoding="utf-8", newline="\n")
    said = [f"{name} is written" for name in stale if name not in kept]
    said += [f"{name} is yours and left as it is; it lacks:\n{files[name]}" for name in kept]
    return Outcome(FINE, "\n".join(said) or "all is current")


def _told(stale: dict[str, str]) -> Outcome:
    lines = [f"{name} is not current; run  transposary editor" for name in stale if _ours(name)]
    return Outcome(WRONG, "\n".join(lines)) if lines else Outcome(FINE, "all is current")


def _ours(name: str) -> bool:
    return name.startswith(SCHEMAS) or name.endswith(".code-snippets")


def _text(path: Path) -> str | None:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None
