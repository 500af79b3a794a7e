"""Verovio behind one function: MusicXML of our own writing to a raw SVG.

The only module that imports verovio. It steps round what the library does silently: a toolkit
made in another thread knows no resource path, a refused file or a second page goes unnoticed,
options stick to a toolkit, and ids are random unless they are seeded. Verovio is never given
what others wrote, because malformed files crash the process.
"""

from __future__ import annotations

from importlib.resources import files
from zlib import crc32

import verovio

PAGE_WIDTH = 1500
"""Widest system in verovio's page units (tenths of the SVG's); wider music breaks."""

_MARGIN = 20
_BRACE = 55
_OPTIONS: dict[str, object] = {
    "adjustPageHeight": True,
    "adjustPageWidth": True,
    "breaks": "auto",
    "footer": "none",
    "header": "none",
    "minLastJustification": 0.9,
    "pageHeight": 60000,
    "pageMarginBottom": _MARGIN,
    "pageMarginRight": _MARGIN,
    "pageMarginTop": _MARGIN,
    "pageWidth": PAGE_WIDTH,
    "smuflTextFont": "none",
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "svgViewBox": True,
}


class Engraver:
    """A verovio toolkit with our options, good for any number of renderings in one thread.

    Raises:
        RuntimeError: Verovio does not find its fonts.
    """

    def __init__(self) -> None:
        verovio.enableLog(verovio.LOG_ERROR)
        self._toolkit = verovio.toolkit(False)  # noqa: FBT003 - a nameless "load fonts"
        if not self._toolkit.setResourcePath(str(files("verovio") / "data")):
            raise RuntimeError("verovio does not find its fonts")

    def render(self, musicxml: str, *, name: str, staves: int, numbered: bool) -> str:
        """Engraves a score.

        Args:
            musicxml: What `write_musicxml` wrote.
            name: What it is, such as `walk-up/Eb`; the ids of the SVG come from it.
            staves: Staves of the system; a brace needs room.
            numbered: Whether bars are numbered.

        Raises:
            RuntimeError: Verovio refuses the score, or needs more than a page.
        """
        options = {
            **_OPTIONS,
            "mnumInterval": 1 if numbered else 0,
            "pageMarginLeft": _BRACE if staves > 1 else _MARGIN,
            "xmlIdSeed": crc32(name.encode()) % 2**31 or 1,
        }
        self._toolkit.setOptions(options)
        if not self._toolkit.loadData(musicxml):
            raise RuntimeError("verovio refuses the score")
        pages = self._toolkit.getPageCount()
        if pages != 1:
            raise RuntimeError(f"verovio needs {pages} pages where one was expected")
        return str(self._toolkit.renderToSVG(1))
