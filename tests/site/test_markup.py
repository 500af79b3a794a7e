"""What is read out of rendered HTML."""

from hypothesis import event, given
from hypothesis import strategies as st

from transposary.site import markup
from transposary.site.contents import contents
from transposary.site.markup import Heading, outline

PAGE = """<h1 id="tp-title">Low <em>tide</em></h1><p>One</p>
<h2 id="a">Rock &amp; roll<a class="headerlink" href="#a">¶</a></h2><h3 id="b">Deeper</h3>
<h2>No id</h2><h2 id="c"><a href="x.html">Linked</a></h2>"""


def test_headings_come_with_anchor_and_plain_text() -> None:
    """Headings with an id are listed in order, signs of the theme left out."""
    assert outline(PAGE).headings == (
        Heading(1, "tp-title", "Low tide"),
        Heading(2, "a", "Rock & roll"),
        Heading(3, "b", "Deeper"),
        Heading(2, "c", "Linked"),
    )


def test_contents_nest_by_level_and_are_escaped() -> None:
    """The contents follow the levels of the headings, and hold HTML."""
    found = contents(outline(PAGE).headings)
    assert [(one["name"], [under["name"] for under in one["children"]]) for one in found] == [
        ("Low tide", ["Rock &amp; roll", "Linked"])
    ]
    assert [under["name"] for under in found[0]["children"][0]["children"]] == ["Deeper"]


def test_a_skipped_level_hangs_on_the_last_higher_one() -> None:
    """A page that begins with a lower heading still has contents."""
    found = contents((Heading(3, "a", "A"), Heading(2, "b", "B"), Heading(4, "c", "C")))
    assert [(one["id"], [under["id"] for under in one["children"]]) for one in found] == [
        ("a", []),
        ("b", ["c"]),
    ]


_BITS = (
    *(
        "<p>",
        "</p>",
        "<h2 id='a'>",
        "</h2>",
        '<h3 class="x" id="b&amp;c">',
        "</h3>",
        "<h4>",
        "</h4>",
        "<br/>",
    ),
    *(
        '<a class="headerlink" href="#a">',
        '<a href="x">',
        "</a>",
        "<A HREF='y'>",
        "</A >",
        "<a id=d>",
        "<a/>",
    ),
    *(
        '<div data-id="no" title="> id=\'e\'" hidden>',
        '<p id="1" id="2">',
        "<h1 id>",
        "</p class>",
        "<i\nid='n'\n>",
    ),
    *(
        "<!--tp:spellings-->",
        "<!-->",
        "<!-- <b> -- -->",
        "<!DOCTYPE html>",
        "<?php ?>",
        "<",
        ">",
        "& b",
        "&amp;",
        "&#9837",
    ),
    *(
        "<script>",
        "</script>",
        "<style>",
        "</style>",
        '{"a": "<b>"}',
        "</",
        "</b",
        "<svg:g id='s'>",
        "<title>",
        "B♭7",
        " ",
        "\n",
    ),
)


@given(st.lists(st.sampled_from(_BITS) | st.text(alphabet="ab<>&;\"'=-/! ", max_size=4), max_size=12))
def test_well_formed_text_is_read_as_a_parser_reads_it(bits: list[str]) -> None:
    """What is read without Python's parser, and only that, is what the parser finds."""
    html = "".join(bits)
    found = markup._plain(html)
    parser = markup._Parser()
    parser.feed(html)
    parser.close()
    event(f"plain: {found is not None}")
    if found is not None:
        assert vars(found) == vars(parser.found)
