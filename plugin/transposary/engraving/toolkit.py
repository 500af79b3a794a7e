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

_MARGIN = 20
_BRACE = 55
_WIDEST = 60000
_OPTIONS: dict[str, object] = {
    "adjustPageHeight": True,
    "defaultBottomMargin": 1.0,
    "footer": "none",
    "header": "none",
    "lyricTopMinMargin": 3.0,
    "lyricWordSpace": 2.0,
    "minLastJustification": 0.9,
    "pageHeight": 60000,
    "pageMarginBottom": _MARGIN,
    "pageMarginLeft": _BRACE,
    "pageMarginRight": _MARGIN,
    "pageMarginTop": _MARGIN,
    "smuflTextFont": "none",
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "svgViewBox": True,
    "systemDivider": "none",
}
_QUICK: dict[str, object] = {
    # In millimetres there is no style sheet, whose rules verovio would prefix by a regular expression
    # that it compiles anew for each drawing: a third of the time of a small one. Nothing else that we
    # keep of a drawing differs.
    "mmOutput": True,
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
        self._toolkit.setOptions({**_OPTIONS, **_QUICK})
        # It need not guess what it is given, but then draws nothing where it should refuse.
        self._toolkit.setInputFrom("musicxml")

    def render(self, musicxml: str, *, name: str, wide: int | None, numbered: bool) -> str:
        """Engraves a score.

        Args:
            musicxml: What `write_for_engraver` wrote.
            name: What it is, such as `walk-up/Eb`; the ids of the SVG come from it.
            wide: Width in the drawing's units to which systems are stretched, or None to
                leave one as wide as it comes out.
            numbered: Whether bars are numbered.

        Raises:
            RuntimeError: Verovio refuses the score, or needs more than a page.
        """
        # All that differ are set each time, because they stick to a toolkit.
        options = {
            "adjustPageWidth": wide is None,
            # Without breaks to look for, one system is laid out in three quarters of the time.
            "breaks": "none" if wide is None else "encoded",
            "mnumInterval": 1 if numbered else 0,
            "pageWidth": _WIDEST if wide is None else -(-wide // 10) + _MARGIN + _BRACE,
            "xmlIdSeed": crc32(name.encode()) % 2**31 or 1,
        }
        self._toolkit.setOptions(options)
        if not self._toolkit.loadData(musicxml):
            raise RuntimeError("verovio refuses the score")
        pages = self._toolkit.getPageCount()
        if pages != 1:
            raise RuntimeError(f"verovio needs {pages} pages where one was expected")
        drawn = str(self._toolkit.renderToSVG(1))
        if 'class="measure"' not in drawn:
            raise RuntimeError("verovio refuses the score")
        return drawn
