"""The worker that keeps a site for times without a connection."""

from __future__ import annotations

import re

from transposary.site.offline import end_of_worker, worker

FILES = {"index.html": b"<p>", "devices/walk-up.html": b"<svg>", "devices/walk-up/Eb.mid": b"MThd"}


def _version(script: bytes) -> str:
    found = re.search(r'VERSION="([0-9a-f]{16})"', script.decode())
    assert found is not None
    return found[1]


def test_the_version_comes_from_the_contents_alone() -> None:
    """The same files in another order give the same worker, another content another version."""
    again = worker(reversed(FILES.items()))
    assert again == worker(FILES.items())
    assert _version(worker((FILES | {"index.html": b"<b>"}).items())) != _version(again)


def test_downloads_are_not_kept() -> None:
    """Pages are listed with their digests, in order; MIDI is left to the network and changes nothing."""
    listed = re.search(r"FILES=\{(.*)\};", worker(FILES.items()).decode())
    assert listed is not None
    assert re.findall(r'"([^"]+)":"[0-9a-f]{16}"', listed[1]) == ["devices/walk-up.html", "index.html"]
    assert worker((FILES | {"devices/walk-up/Eb.mid": b"other"}).items()) == worker(FILES.items())


def test_addresses_are_written_as_browsers_ask_for_them() -> None:
    """A name with a space or an accent is quoted."""
    assert '"a%20l%C3%A9gende.html":' in worker([("a légende.html", b"")]).decode()


def test_a_site_without_a_copy_takes_an_earlier_one_away() -> None:
    """The other worker answers nothing, deletes what was kept and unregisters itself."""
    script = end_of_worker().decode()
    assert "unregister" in script
    assert '"fetch"' not in script
