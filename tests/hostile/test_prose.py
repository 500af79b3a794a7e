"""Prose of others: whatever it holds, it becomes words, marks and links that may be followed."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from transposary.site.foreign import foreign_html
from transposary.site.links import Address

ADDRESS = Address(
    {"devices/horns/walk.md": "devices/horns/walk/", "songs/horns/tide.md": "songs/horns/tide/"},
    "devices/horns/walk.md",
)
# What Python-Markdown writes by itself for the basic syntax and for tables.
TAGS = {"a", "blockquote", "br", "code", "em", "hr", "li", "ol", "p", "pre", "span", "strong", "ul"}
TAGS |= {"h1", "h2", "h3", "h4", "h5", "h6", "table", "tbody", "td", "th", "thead", "tr"}
ATTRIBUTES = {("a", "href"), ("td", "style"), ("th", "style"), ("ol", "start")}

PIECES = ("<", ">", "<script>", "</a>", "javascript:", "](", "[", ")", "!", "`", "\n", "&#106;", "<a ", "|")
PIECES += ("onload=", '"', "'", "\\", "data:", "    ", "- ", "> ", "*", "_", "&lt;", "\x02", "\x03", "a", ":")


class _Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.wrong: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in TAGS:
            self.wrong.append(tag)
        for name, value in attrs:
            if (tag, name) not in ATTRIBUTES:
                self.wrong.append(f"{tag} {name}")
            if name == "style" and value not in {f"text-align: {s};" for s in ("left", "right", "center")}:
                self.wrong.append(f"{tag} {name}={value}")
            if name == "href":
                self.links.append(value or "")

    def handle_decl(self, decl: str) -> None:
        self.wrong.append(decl)

    def handle_comment(self, data: str) -> None:
        self.wrong.append(data)

    def handle_pi(self, data: str) -> None:
        self.wrong.append(data)


def _seen(prose: str) -> _Seen:
    seen = _Seen()
    seen.feed(foreign_html(prose, "horns", ADDRESS))
    seen.close()
    return seen


@pytest.mark.parametrize(
    "prose",
    [
        "<script>alert(1)</script>",
        "<div onclick=alert(1)>a</div>\n\n<style>*{}</style>",
        "a <img src=x onerror=alert(1)> b <!-- c --> <?php d ?>",
        "[a](javascript:alert(1)) [b](JaVaScRiPt:alert(1)) [c](&#106;avascript:alert(1))",
        "[a]\n\n[a]: javascript:alert(1)",
        "[a](data:text/html;base64,PHN2Zz4=) [b](vbscript:x) [c](//elsewhere.example/x)",
        "<javascript:alert(1)> <https://example.org/?a=<script>>",
        "![a](https://example.org/track.gif) ![b](data:image/svg+xml,<svg/onload=a>)",
        'a{: onclick=alert(1) } \n\n{{ config }} {% raw %} --8<-- "/etc/passwd"',
        "[a](../../../../etc/passwd) [b](/etc/passwd) [c](file:///etc/passwd)",
        '[a](https://example.org "x\\" onmouseover=alert(1) y")',
        "```html\n<script>a</script>\n```\n\n    <script>b</script>\n\n`<script>`",
    ],
)
def test_nothing_runs_and_nothing_is_fetched(prose: str) -> None:
    """HTML is shown as it is written, and links lead to the web or nowhere."""
    seen = _seen(prose)
    assert seen.wrong == []
    assert [link for link in seen.links if not link.startswith("https://example.org")] == []


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.sampled_from(PIECES),
        max_size=25,
    ).map("".join)
)
@example("[]()")
def test_no_text_becomes_anything_else(prose: str) -> None:
    """Whatever its characters, a text has the tags of Markdown only, and links that may be followed."""
    seen = _seen(prose)
    assert seen.wrong == []
    assert all(link.startswith(("#", "https://", "http://", "mailto:")) for link in seen.links)


def test_what_is_nested_too_deep_is_shown_as_it_is_written() -> None:
    """A list in a list in a list, three hundred deep, is text."""
    prose = "\n".join(f"{'    ' * depth}- <b>" for depth in range(300))
    html = foreign_html(prose, "horns", ADDRESS)
    assert html.startswith("<pre>- &lt;b&gt;\n")
    assert _seen(prose).wrong == []


def test_links_lead_to_entries_of_its_own_glossary() -> None:
    """A link between entries is written for the author's folders, and led to where they stand here."""
    html = foreign_html("[a](../songs/tide.md#B) [b](../songs/none.md) [c](climb.md)", "horns", ADDRESS)
    assert html == '<p><a href="../../../songs/horns/tide/#B">a</a> <span>b</span> <span>c</span></p>'
