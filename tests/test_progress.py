"""How far a build is, in words."""

import io

from transposary.progress import Progress


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def _said(stream: io.StringIO, times: list[float]) -> str:
    """Builds with so many seconds between the devices."""
    ticking = iter(times)
    progress = Progress(stream, lambda: next(ticking))
    for done in range(1, len(times)):
        progress("engraving", done, 4)
    progress.close()
    return stream.getvalue()


def test_a_short_build_says_nothing() -> None:
    """Nobody needs to know how far a build is that takes less than two seconds."""
    assert _said(io.StringIO(), [0.0, 0.5, 1.0, 1.9]) == ""
    assert _said(_Terminal(), [0.0, 0.5, 1.0, 1.9]) == ""


def test_a_long_build_says_plain_lines() -> None:
    """Where no terminal is, a line comes every five seconds."""
    told = _said(io.StringIO(), [0.0, 2.5, 3.0, 7.0, 8.0])
    assert told == "engraving: 1 of 4\nengraving: 4 of 4\n"


def test_a_quiet_build_says_nothing() -> None:
    """Whoever asks MkDocs to be quiet hears nothing of us either."""
    stream = io.StringIO()
    progress = Progress(stream, iter([0.0, 9.0]).__next__, silent=True)
    progress("engraving", 1, 4)
    assert stream.getvalue() == ""


def test_a_terminal_shows_a_bar() -> None:
    """In a terminal a bar grows in its place, and is gone at the end."""
    told = _said(_Terminal(), [0.0, 2.5, 3.0])
    bars = told.split("\r\x1b[K")
    assert bars == [
        "",
        f"[{'#' * 7}{'.' * 23}] engraving: 1 of 4",
        f"[{'#' * 15}{'.' * 15}] engraving: 2 of 4",
        "",
    ]
