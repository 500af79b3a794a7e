"""What an edit costs in serve beside a whole build: ratios of one run on one machine.

    python -m tests.bench.serving [devices ...]

Glossaries of 50 and 300 devices are generated unless other sizes are asked for. The first build
engraves all; the second is that of a server started anew, which finds everything in the cache.
Then a word of the prose of one device is edited, and one of its notes. Seconds are those of the
processor in this process; what MkDocs waits until it looks at files again is not in them.
"""

from __future__ import annotations

import argparse
import re
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig

from tests.bench.book import write_book

URL = "http://127.0.0.1:8000/"


class Server:
    """What `mkdocs serve` does, without a port and without waiting."""

    def __init__(self, folder: Path, site: Path) -> None:
        # MkDocs keeps one plugin a process.
        vars(MkDocsConfig)["plugins"].plugin_cache = {}
        self.folder, self.site = folder, site
        self._first = self._load()
        self._first.plugins.on_startup(command="serve", dirty=False)

    def _load(self) -> MkDocsConfig:
        return load_config(str(self.folder / "mkdocs.yml"), site_dir=str(self.site))

    def build(self) -> float:
        """Builds; gives seconds."""
        start = time.process_time()
        config = self._load()
        config.site_url = URL
        build(config, serve_url=URL)
        return time.process_time() - start

    def close(self) -> None:
        """Ends it."""
        self._first.plugins.on_shutdown()


def main(arguments: Sequence[str] | None = None) -> None:
    """Prints all figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("devices", nargs="*", type=int, default=[50, 300])
    for devices in parser.parse_args(arguments).devices:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            write_book(folder, devices)
            path = folder / "entries" / "devices" / "device-7.md"
            text = path.read_text(encoding="utf-8")
            first = Server(folder, folder / "first")
            cold = first.build()
            first.close()
            server = Server(folder, folder / "served")
            whole = server.build()
            print(f"{devices} devices: first build {cold:.2f} s, anew from the cache {whole:.2f} s")
            edits = {
                "nothing": text,
                "a word": text.replace("slowly at first", "softly at first"),
                # An octave down, so that the harmony stays true.
                "a note": re.sub(r'(" \[?[_^=]+[A-G],?)', r"\1,", text, count=1),
            }
            for what, edited in edits.items():
                path.write_text(edited, encoding="utf-8")
                seconds = server.build()
                print(f"  {what} edited: {seconds:.2f} s, {seconds / whole:.2f} of the whole")
            server.close()


if __name__ == "__main__":
    main()
