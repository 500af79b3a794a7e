"""Texts of entries in what other programs read: each comes out as it was written, and ends nothing."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date
from pathlib import Path

from tests.site.book import write
from tests.site.small import device
from tests.theory.build import build
from transposary.build import build_site
from transposary.engraving.musicxml import write_musicxml
from transposary.glossary import Device, Glossary
from transposary.problems import Place, Problem
from transposary.settings import Settings
from transposary.site.export import glossary_json
from transposary.site.feed import Publisher, feed

ATOM = "{http://www.w3.org/2005/Atom}"
TEXT = '</title></script><script>alert(1)</script> & &amp; ]]> "\'\\");// \u2028 é'


def _device() -> Device:
    one = device("walk", build(LH="G2 A2 B2 C3"))
    return replace(one, title=f"Walk {TEXT}", summary=TEXT, genres=(TEXT,), added=date(2026, 3, 14))


def test_the_feed_has_the_words_of_an_entry() -> None:
    """Title and summary are text of their elements (RFC 4287, 3.1.1.1), and bring no element along."""
    text = feed([_device()], {"devices/walk.md": "devices/walk/"}, Publisher("Book", TEXT, ""))
    assert text is not None
    root = ET.fromstring(text)
    assert root.findtext(f"{ATOM}entry/{ATOM}title") == f"Walk {TEXT}"
    assert root.findtext(f"{ATOM}entry/{ATOM}summary") == TEXT
    assert root.findtext(f"{ATOM}author/{ATOM}name") == TEXT
    assert {one.tag for one in root.iter() if not one.tag.startswith(ATOM)} == set()
    assert list(root.iter(f"{ATOM}script")) == []


def test_the_export_has_the_words_of_an_entry() -> None:
    """`glossary.json` is one line, whatever stands in a title or in a problem."""
    problem = Problem(Place("devices/walk.md"), "entry.value", TEXT, TEXT)
    glossary = Glossary(devices=(_device(),))
    text = glossary_json(glossary, [problem], lambda _: (), {"walk": ()}, {"walk": ()})
    assert text.count("\n") == 1
    content = json.loads(text)
    assert content["devices"][0]["title"] == f"Walk {TEXT}"
    assert content["problems"][0]["text"] == TEXT


def test_a_score_has_the_title_of_an_entry() -> None:
    """A title is text of its element, and comes back."""
    root = ET.fromstring(write_musicxml(_device().passage, title=TEXT))
    assert root.findtext("movement-title") == TEXT


def test_scripts_that_a_build_writes_are_calls_with_data(tmp_path: Path) -> None:
    """What the finder and the parts load is one call each, and its values come back as JSON."""
    # The reader of entries refuses the line separator by name.
    text = TEXT.replace("\u2028", "")
    root = write(
        tmp_path,
        {
            "devices/walk.md": (
                f"---\ntitle: {json.dumps(f'Walk {text}')}\nsummary: {json.dumps(text)}\nrole: bass\n"
                f"genres: [{json.dumps(text)}]\nnotation: |\n  M: 4/4\n  L: 1/4\n  K: G\n"
                '  "G"G A B c|\n---\nWords.\n'
            )
        },
    )
    site = build_site(root, Settings(workers=1), drafts=False, before=None)
    calls = {}
    for name, filed in site.files.items():
        if name.endswith(".js"):
            call = re.fullmatch(r"transposary\.\w+\((.*)\);\n", filed.read().decode())
            assert call is not None, name
            calls[name] = json.loads(f"[{call[1]}]")
    assert {"find/index.js", "find/walk.js", "devices/walk/parts/treble-C.js"} <= set(calls)
    assert calls["find/index.js"][1]["devices"][0]["title"] == f"Walk {text}"
