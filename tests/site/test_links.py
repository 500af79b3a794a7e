"""Links between pages, with and without directory addresses."""

import pytest

from transposary.site.links import Address, is_safe, relative, resolve


@pytest.mark.parametrize(
    ("target", "page", "href"),
    [
        ("devices/climb.html#Eb", "index.html", "devices/climb.html#Eb"),
        ("index.html", "devices/climb.html", "../index.html"),
        ("devices/other.html", "devices/climb.html", "other.html"),
        ("devices/other/", "devices/climb/", "../other/"),
        ("./", "devices/climb/", "../../"),
        ("./", "./", "./"),
        ("devices/climb/", "./", "devices/climb/"),
        ("devices/climb/Eb.mid", "devices/climb/", "Eb.mid"),
        ("devices/climb/Eb.mid", "devices/climb.html", "climb/Eb.mid"),
    ],
)
def test_addresses_are_relative_to_the_page(target: str, page: str, href: str) -> None:
    """A link works from the disk and in any folder of a server."""
    assert relative(target, page) == href


def test_a_link_leads_back_to_the_address_it_was_made_from() -> None:
    """Resolving is the reverse of making relative, anchors and final slashes aside."""
    pages = ["index.html", "./", "devices/a.html", "devices/a/", "keys/index.html", "keys/"]
    for page in pages:
        for target in pages:
            assert resolve(relative(target, page) + "#x", page) == resolve("", target)


def test_links_out_of_the_site_are_not_resolved() -> None:
    """Only relative links belong to the site."""
    assert [resolve(href, "index.html") for href in ("https://example.org/a", "//example.org", "/a")] == [
        None
    ] * 3


def test_a_page_links_itself_by_the_anchor_alone() -> None:
    """An anchor on the same page stays an anchor, however its page is named."""
    address = Address({"devices/a.md": "devices/a.html", "songs/b.md": "songs/b.html"}, "devices/a.md")
    found = [address.href(it) for it in ("#Eb", "devices/a.md#Eb", "devices/a.md", "songs/b.md#x")]
    assert found == ["#Eb", "#Eb", "a.html", "../songs/b.html#x"]


@pytest.mark.parametrize(
    ("href", "safe"),
    [
        ("https://example.org/a", True),
        ("HTTP://example.org", True),
        ("mailto:someone@example.org", True),
        ("../songs/low-tide.html", True),
        ("#Eb", True),
        ("songs/at-9:30.html", True),
        ("data:image/png;base64,AAAA", True),
        ("javascript:alert(1)", False),
        (" java\nscript:alert(1)", False),
        ("vbscript:x", False),
        ("data:text/html,x", False),
        ("https://[broken", False),
    ],
)
def test_only_links_that_load_nothing_unasked_are_kept(href: str, safe: bool) -> None:  # noqa: FBT001  (a table)
    """Pages of the site and of the web may be linked, scripts may not."""
    assert is_safe(href) is safe
