"""The content security policy: the theme's scripts are let through, no other inline one."""

from __future__ import annotations

import pytest

from transposary.site.policy import with_policy

# The digest of `a()`, by: printf 'a()' | openssl dgst -sha256 -binary | base64
DIGEST = "'sha256-qVpDBgj7bpq5hMAcGp3AOc79J3Y1Z4HvySTwKrWDoy4='"
PAGE = '<!doctype html><html><head>\n<meta charset="utf-8"><script>a()</script></head><body>{}</body>'


def _scripts(html: str) -> str:
    policy = html.partition('http-equiv="Content-Security-Policy" content="')[2].partition('"')[0]
    return next(one for one in policy.split("; ") if one.startswith("script-src"))


def test_the_theme_has_its_digest() -> None:
    """An inline script around the content is named by its digest, behind the character set."""
    html = with_policy(PAGE.format("Words"), "Words")
    assert html.startswith('<!doctype html><html><head>\n<meta charset="utf-8"><meta http-equiv="Content-Sec')
    assert _scripts(html) == f"script-src 'self' file: {DIGEST}"


@pytest.mark.parametrize(
    "content",
    [
        "<script>b()</script>",
        "<p>Words</p><SCRIPT type='module'>b()</script >",
        '<script src="https://example.org/b.js"></script>',
        '<script type="application/json">{}</script>',
        "<script>b()//",
    ],
)
def test_the_content_has_none(content: str) -> None:
    """A script that came in with an entry is not named, whatever it is, and data needs no digest."""
    assert _scripts(with_policy(PAGE.format(content), content)) == f"script-src 'self' file: {DIGEST}"


def test_content_that_was_changed_on_its_way() -> None:
    """Where another plugin rewrote the page, a script of the content is known by its text."""
    content = "<p>Words</p>  <script>b()</script>"
    html = with_policy(PAGE.format(content.replace("  ", "")), content)
    assert _scripts(html) == f"script-src 'self' file: {DIGEST}"


def test_what_is_no_page_stays() -> None:
    """A fragment has no head to hold a policy."""
    assert with_policy("<p>Words</p>", "") == "<p>Words</p>"
