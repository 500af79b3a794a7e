"""The content security policy of the pages: what a browser may run and load on them.

It stands in each page, since a page opened from the disk has no headers: scripts are those of the
site, and the theme's own inline ones by their digests. A script or a handler that came in with an
entry does not run, whatever way it found. Styles may be inline, as the theme and the engravings
need them.

Source: W3C, Content Security Policy Level 3, 3.3 (the `meta` element) and 6.7 (matching).
"""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256
from html import escape

_INLINE = re.compile(r"<script\b(?P<attributes>[^>]*)>(?P<text>.*?)</script\s*>", re.IGNORECASE | re.DOTALL)
# One that is fetched, or that is data.
_OTHER = re.compile(r"\ssrc\s*=|\stype\s*=\s*[\"']?application/(?:ld\+)?json", re.IGNORECASE)
# Behind the character set, which has to stand among the first 1,024 bytes of a page.
_HEAD = re.compile(r"<head\b[^>]*>(?:\s*<meta\s+charset=[^>]*>)?", re.IGNORECASE)
# On a page from the disk not every browser takes `'self'` for the files beside it.
_SITE = "'self' file:"

_NOTHING_ELSE = "base-uri 'none'; form-action 'none'"

NO_SCRIPTS = f"default-src 'none'; style-src 'unsafe-inline'; img-src data:; {_NOTHING_ELSE}"
"""The policy of a file that stands alone and runs nothing."""

SITE_SCRIPTS = f"default-src 'none'; script-src {_SITE}; img-src data:; {_NOTHING_ELSE}"
"""The policy of a page that has nothing but a script of the site."""


def with_policy(html: str, content: str) -> str:
    """Writes the policy into a finished page.

    Args:
        html: The page, with its content and the theme around it.
        content: The page's content alone: no script in it is the theme's.
    """
    found = _HEAD.search(html)
    if found is None:
        return html
    around = html.replace(content, "", 1) if content else html
    ours = _inline(around) - _inline(content)
    policy = _policy(sorted(map(_digest, ours)))
    return f"{html[: found.end()]}{policy_tag(policy)}{html[found.end() :]}"


def policy_tag(policy: str) -> str:
    """Writes a policy as an element of a page's head."""
    return f'<meta http-equiv="Content-Security-Policy" content="{escape(policy, quote=False)}">'


def _inline(html: str) -> set[str]:
    return {one["text"] for one in _INLINE.finditer(html) if not _OTHER.search(one["attributes"])}


def _digest(script: str) -> str:
    return f"'sha256-{b64encode(sha256(script.encode()).digest()).decode()}'"


def _policy(digests: list[str]) -> str:
    return "; ".join(
        (
            f"default-src {_SITE}",
            " ".join((f"script-src {_SITE}", *digests)),
            f"style-src {_SITE} 'unsafe-inline'",
            f"img-src {_SITE} data:",
            "object-src 'none'",
            "frame-src 'none'",
            _NOTHING_ELSE,
        )
    )
