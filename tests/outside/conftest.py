"""What is costly to make and shared by the checks against what is not ours."""

from __future__ import annotations

import pytest
import xmlschema

from tests.outside.musicxml_schema import musicxml_schema


@pytest.fixture(scope="session")
def schema() -> xmlschema.XMLSchema10:
    """The schema of MusicXML 4.0."""
    return musicxml_schema()
