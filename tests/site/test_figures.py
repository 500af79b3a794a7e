"""Engravings put into a finished page."""

from transposary.engraving import Engraving
from transposary.site.figures import GLYPHS, fill, placeholder

ENGRAVINGS = {
    ("climb", "G"): Engraving("climb", "G", '<svg role="img"><use href="#a"/></svg>', (("a", "<symbol/>"),)),
    ("climb", "C"): Engraving("climb", "C", '<svg role="img"></svg>', (("a", "<symbol/>"),)),
}
WORDS = {
    ("climb", "G"): "G major, 4/4 time.\nBar 1. Chord <C>.",
    ("climb", "C"): "C major.",
    ("climb", "D"): "D major.",
}


def test_placeholders_become_engravings_and_words() -> None:
    """Each engraving is named, followed by its notes in words, and stands on glyphs set once."""
    page = f"<p>{GLYPHS}{placeholder('climb', 'G')}|{placeholder('climb', 'C')}</p>"
    html = fill(page, ENGRAVINGS, WORDS)
    assert html.count("<symbol/>") == 1
    assert html.index("<symbol/>") < html.index('role="img"')
    figures = html.split("</svg></div>", 1)[1]
    assert figures == (
        f'{_named("G major, 4/4 time.")}<use href="#a"/></svg></div>'
        '<details class="tp-words"><summary>The notes in words</summary>'
        "<p>G major, 4/4 time.</p><p>Bar 1. Chord &lt;C&gt;.</p></details>|"
        f"{_named('C major.')}</svg></div>"
        '<details class="tp-words"><summary>The notes in words</summary><p>C major.</p></details></p>'
    )


def _named(words: str) -> str:
    return f'<div class="tp-engraving"><svg aria-label="Notation, said in words below: {words}" role="img">'


def test_what_could_not_be_engraved_is_still_said_in_words() -> None:
    """A failed engraving leaves its notes in words."""
    html = fill(str(placeholder("climb", "D")), ENGRAVINGS, WORDS)
    assert html == (
        '<p class="tp-note">This could not be engraved.</p>'
        '<details class="tp-words"><summary>The notes in words</summary><p>D major.</p></details>'
    )


def test_pages_without_engravings_are_left_alone() -> None:
    """An unknown placeholder stays, since an author may write about one."""
    html = f"<p>{placeholder('other', 'G')}</p>"
    assert fill(html, ENGRAVINGS, WORDS) == html
