"""The MusicXML 4.0 XSD (W3C Music Notation Community Group), as the package `musicxml` carries it."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import xmlschema


def musicxml_schema() -> xmlschema.XMLSchema10:
    """Gives the schema of the standard, with the two that it imports taken from the disk."""
    text = (_folder("musicxml") / "generate_classes" / "musicxml_4_0.xsd").read_text(encoding="utf-8")
    base = (_folder("xmlschema") / "schemas").as_uri()
    for name, local in (("xml", "XML/xml.xsd"), ("xlink", "XLINK/xlink.xsd")):
        text = text.replace(f"http://www.musicxml.org/xsd/{name}.xsd", f"{base}/{local}")
    return xmlschema.XMLSchema10(text, allow="local")


def _folder(package: str) -> Path:
    spec = importlib.util.find_spec(package)
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent
