"""The files of a site beside its pages."""

from __future__ import annotations

import pytest

from transposary.site.filed import Bundle, Filing, in_memory


def _bundle(origin: str, *names: str) -> Bundle:
    return Bundle(origin, names, lambda name: f"{origin} {name}".encode())


FILING = Filing(
    {
        "devices/climb": _bundle("one", "C.mid", "parts/bass-C.js"),
        "devices/abroad/climb": _bundle("two", "C.mid"),
    },
    {"glossary.json": in_memory(b"{}")},
)


def test_files_are_found_by_their_addresses() -> None:
    """A file is that of its device, whatever folder the device lies in; others are none."""
    assert {name: filed.read() for name, filed in FILING.items()} == {
        "devices/climb/C.mid": b"one C.mid",
        "devices/climb/parts/bass-C.js": b"one parts/bass-C.js",
        "devices/abroad/climb/C.mid": b"two C.mid",
        "glossary.json": b"{}",
    }
    assert len(FILING) == 4
    for other in ("devices/climb", "devices/climb/D.mid", "devices/climb/parts/C.mid", "C.mid", ""):
        assert other not in FILING
        with pytest.raises(KeyError):
            FILING[other]


def test_an_origin_names_the_content() -> None:
    """Files of one bundle have different origins, and so have other contents in memory."""
    origins = [filed.origin for filed in FILING.values()]
    assert len(set(origins)) == len(origins)
    assert in_memory(b"{}") == FILING["glossary.json"]
    assert in_memory(b"[]") != FILING["glossary.json"]


def test_only_what_comes_from_elsewhere_has_changed() -> None:
    """A bundle of another origin, a new one and other bytes are told; what is the same is not."""
    later = Filing(
        {
            "devices/climb": FILING.bundles["devices/climb"],
            "devices/abroad/climb": _bundle("three", "C.mid"),
            "devices/new": _bundle("four", "C.mid"),
        },
        {"glossary.json": in_memory(b"[]")},
    )
    changed = {name: filed.read() for name, filed in later.since(FILING)}
    assert changed == {
        "devices/abroad/climb/C.mid": b"three C.mid",
        "devices/new/C.mid": b"four C.mid",
        "glossary.json": b"[]",
    }
    assert list(later.gone(FILING)) == []
    assert list(FILING.gone(later)) == ["devices/new/C.mid"]


def test_a_file_that_failed_is_gone() -> None:
    """Where a bundle has lost a name, that file is gone; one that has only moved between bundles is not."""
    less = Filing({"devices/climb": _bundle("five", "C.mid")}, {})
    assert list(less.gone(FILING)) == [
        "devices/climb/parts/bass-C.js",
        "devices/abroad/climb/C.mid",
        "glossary.json",
    ]
    assert list(Filing({}, {"devices/climb/C.mid": in_memory(b"")}).gone(less)) == []


def test_files_are_left_out_by_their_addresses() -> None:
    """What an author does not want in the site is not in it."""
    left = FILING.where(lambda address: address.endswith(".mid"))
    assert list(left) == ["devices/climb/C.mid", "devices/abroad/climb/C.mid"]
