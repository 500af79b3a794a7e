"""Mentions in prose: what is linked, what is left alone, what is reported back."""

import pytest

from transposary.glossary import Concept, Glossary
from transposary.passage import Key, Meter
from transposary.pitch import NoteName
from transposary.problems import Place
from transposary.site.links import Address
from transposary.site.mentions import Linked, collect_names, link_mentions, places_of
from transposary.song import Song

HERE = Place("x.md")
CONCEPTS = (
    Concept("enclosure", "Enclosure", HERE),
    Concept("rock-roll", "Rock & roll", HERE),
    Concept("walk", "Walk", HERE),
    Concept("walk-up", "Walk-up", HERE, aliases=("climbing bass",)),
)
SONGS = tuple(
    Song(slug, title, Key(NoteName(0)), Meter(4, 4), HERE, (), (), ())
    for slug, title in (("home", "Home"), ("low-tide", "Low Tide"), ("walk", "walk"))
)
GLOSSARY = Glossary(songs=SONGS, concepts=CONCEPTS)
URLS = {f"concepts/{one.slug}.md": f"concepts/{one.slug}.html" for one in CONCEPTS}
URLS |= {f"songs/{one.slug}.md": f"songs/{one.slug}.html" for one in SONGS}
URLS |= {"devices/a.md": "devices/a.html", "devices/draft.md": "devices/draft.html"}
PUBLISHED = tuple(source for source in URLS if source != "devices/draft.md")


def _link(html: str, page: str = "devices/a.md") -> Linked:
    places = places_of(URLS, PUBLISHED, ("devices/draft.md",))
    return link_mentions(html, collect_names(GLOSSARY), Address(URLS, page), places)


def test_the_first_mention_of_each_entry_is_linked() -> None:
    """Names and aliases lead to their page, once, and the page learns of it."""
    linked = _link("<p>A climbing bass, a walk-up, and Low Tide.</p>")
    assert linked.html == (
        '<p>A <a class="tp-mention" href="../concepts/walk-up.html">climbing bass</a>, a walk-up, and '
        '<a class="tp-mention" href="../songs/low-tide.html">Low Tide</a>.</p>'
    )
    assert linked.mentioned == ("concepts/walk-up.md", "songs/low-tide.md")


@pytest.mark.parametrize(
    ("html", "mentioned"),
    [
        ("<p>a WALK up and low\ntide</p>", ("concepts/walk-up.md", "songs/low-tide.md")),
        ("<p>Going home.</p>", ()),
        ("<p>Going Home.</p>", ("songs/home.md",)),
        ("<p>enclosures</p>", ()),
        ("<p>rock &amp; roll</p>", ("concepts/rock-roll.md",)),
        ("<p>a walk</p>", ("concepts/walk.md",)),
    ],
    ids=["case and hyphens", "a word", "a title", "another word", "escaped", "the concept wins"],
)
def test_names_are_found_as_a_reader_would(html: str, mentioned: tuple[str, ...]) -> None:
    """Terms match however cased and hyphenated, titles of one word only as written, whole words only."""
    assert _link(html).mentioned == mentioned


@pytest.mark.parametrize(
    "html",
    [
        '<p><a href="https://example.org">walk-up</a></p>',
        "<p><code>walk-up</code></p><pre>walk-up</pre>",
        '<h2 id="x">The walk-up</h2>',
        "<p title='walk-up'>&walk-up; &#119;</p><!-- walk-up --><br/><img alt='walk-up'>",
        "<script>walk-up < 3</script><style>walk-up</style>",
    ],
    ids=["link", "code", "heading", "markup", "script"],
)
def test_links_code_headings_and_markup_are_left_alone(html: str) -> None:
    """What is no running text comes out as it went in."""
    assert _link(html) == Linked(html, ())


def test_a_page_does_not_link_itself() -> None:
    """The definition of a term does not link the term."""
    html = "<p>A walk-up walks up.</p>"
    assert _link(html, "concepts/walk-up.md") == Linked(html, ())


def test_links_of_the_author_are_mentions() -> None:
    """A link written by hand is reported back, and its target is not linked again."""
    html = '<p><a href="../songs/low-tide.html#section-b">That tune</a>, Low Tide.</p>'
    assert _link(html) == Linked(html, ("songs/low-tide.md",))


def test_links_to_unpublished_entries_become_plain_text() -> None:
    """A draft is not linked where it has no page."""
    linked = _link('<p>See <a href="draft.html"><em>this</em></a> and <a href="b.html">that</a>.</p>')
    assert linked.html == '<p>See <em>this</em> and <a href="b.html">that</a>.</p>'


def test_links_that_would_run_something_become_plain_text() -> None:
    """Scripts in links and sources are refused."""
    linked = _link('<p><a href="javascript:x()">x</a><img src="javascript:y()"><iframe src=" javascript:z">')
    assert linked.html == "<p>x<img><iframe>"


def test_nothing_is_fetched_from_another_host() -> None:
    """A foreign picture becomes a link to it, other foreign elements lose their source."""
    linked = _link(
        '<p><img alt="A &amp; B" src="https://example.org/a.png"><img src="//example.org/b.png"/>'
        '<iframe src="HTTPS://example.org/"></iframe><img alt="" src="c.png" srcset="//example.org/c 2x">'
        '<img src="../d.png"><form action="https://example.org/"></form></p>'
    )
    assert linked.html == (
        '<p><a href="https://example.org/a.png">A &amp; B</a>'
        '<a href="//example.org/b.png">//example.org/b.png</a>'
        '<iframe></iframe><a href="c.png">c.png</a>'
        '<img src="../d.png"><form action="https://example.org/"></form></p>'
    )
