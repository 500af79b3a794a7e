"""The form of a song: its sections bar by bar in the order in which they are played."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from transposary.glossary import matching_name
from transposary.problems import Problem, SourceText
from transposary.reading.gathering import Gathering
from transposary.reading.nearest import nearest
from transposary.repeats import behind_first_ending, times_through
from transposary.song import ChartBar, PlayedBar, Section

RULE = "song.form"
CHART = "song.chart"
LONGEST = 2_000
"""Bars that a song may play; a slip in the form would otherwise cost minutes."""

_JUMP = re.compile(r"D\.? ?(?P<back>[CS])\.?(?: +al +(?P<until>fine|coda))?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Jump:
    """D.C. or D.S., and the mark at which the way back ends (`fine`, `coda` or empty)."""

    source: SourceText
    segno: bool
    until: str

    @property
    def name(self) -> str:
        """The direction as it is printed."""
        al = f" al {self.until.capitalize()}" if self.until else ""
        return f"D.{'S' if self.segno else 'C'}.{al}"


@dataclass(frozen=True, slots=True)
class _Pass:
    """One time through a section, or through a part of it: which of its bars."""

    section: Section
    bars: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """What is played.

    Attributes:
        names: The sections and directions of the form.
        played: The bars.
    """

    names: tuple[str, ...]
    played: tuple[PlayedBar, ...]


def play(
    sections: Sequence[Section], form: Sequence[SourceText], pickup: ChartBar | None
) -> tuple[Form, tuple[Problem, ...]]:
    """Plays the sections of a song in the order of its form.

    Args:
        sections: The sections of the chart.
        form: Names of sections, and D.C. or D.S.; empty for the sections as they are written.
        pickup: The bar that leads in, or None.

    Returns:
        The bars as played, and what is wrong with the form.
    """
    found = Gathering()
    steps = tuple(_steps(sections, form, found)) if form else tuple(sections)
    length = sum(len(step.bars) for step in steps if isinstance(step, Section))
    if length > LONGEST:
        place = form[0].start if form else sections[0].place
        found.error(place, RULE, f"a song has at most {LONGEST} bars, found {length}")
        steps = steps[:1]
    found.problems += [problem for section in sections for problem in _check_repeats(section)]
    if form:
        found.problems += _check_unplayed(sections, steps)
    passes = _walk(steps, found)
    return Form(tuple(step.name for step in steps), _numbered(passes, pickup)), tuple(found.problems)


def _steps(
    sections: Sequence[Section], form: Sequence[SourceText], found: Gathering
) -> Iterator[Section | _Jump]:
    by_name = {matching_name(section.name): section for section in sections}
    for source in form:
        section = by_name.get(matching_name(source.value))
        jump = _JUMP.fullmatch(source.value)
        if section is not None:
            yield section
        elif jump:
            yield _Jump(source, jump["back"].upper() == "S", (jump["until"] or "").lower())
        else:
            names = [section.name for section in sections]
            near = nearest(source.value, names)
            hint = f"did you mean `{near}`?" if near else f"the chart has {', '.join(names)}"
            text = f"expected a section of the chart, found `{source.value}`"
            found.error(source.start, RULE, text, hint)


def _check_repeats(section: Section) -> Iterator[Problem]:
    """Finds repeats and endings that lead nowhere."""
    open_repeat: ChartBar | None = None
    first: ChartBar | None = None
    turned = False
    for bar in section.bars:
        if bar.repeat_begun:
            if open_repeat:
                yield _no_end(open_repeat)
            open_repeat, first = bar, None
        if bar.ending == "1":
            first, turned = bar, False
        elif bar.ending == "2" and first is not None and not turned:
            yield _no_turn(bar)
            turned = True
        elif bar.ending == "2" and first is None:
            text = "a second ending comes behind a first one, found none"
            yield Problem(bar.place, CHART, text, "mark it in the repeated bars: `|: G |1 C :|2 D7 |`")
        if bar.repeat_ended:
            open_repeat, turned = None, True
    if open_repeat:
        yield _no_end(open_repeat)
    elif first is not None and not turned:
        yield _no_turn(first)


def _no_turn(bar: ChartBar) -> Problem:
    text = "a first ending ends with `:|`, found none"
    return Problem(bar.place, CHART, text, "turn back behind it, and go on with the second: `|1 C :|2 D7 |`")


def _no_end(bar: ChartBar) -> Problem:
    text = "a repeat that begins with `|:` ends with `:|`, found none"
    return Problem(bar.place, CHART, text, "write `:|` behind the last bar to repeat")


def _check_unplayed(sections: Sequence[Section], steps: Sequence[Section | _Jump]) -> Iterator[Problem]:
    played = {step.name for step in steps}
    for section in sections:
        if section.name not in played:
            text = f"the form never plays the section `{section.name}`"
            yield Problem.remark(section.place, "song.unplayed", text, "add it to `form`, or take it out")


def _walk(steps: Sequence[Section | _Jump], found: Gathering) -> list[_Pass]:
    """Follows the form, its jumps once each."""
    passes: list[_Pass] = []
    for index, step in enumerate(steps):
        if isinstance(step, Section):
            passes += [_Pass(step, order) for order in times_through(step.bars)]
            continue
        # On the way back repeats are not played again (common practice, no source).
        back = [_last_time(one) for one in steps[:index] if isinstance(one, Section)]
        if step.segno:
            back = _from_mark(back, step, found)
        until = step.until or ("fine" if _marked(back, "fine") else "")
        if until:
            back = _up_to_mark(back, until, step, found)
        passes += back
        if until != "coda":
            break
    return passes


def _last_time(section: Section) -> _Pass:
    """Plays a section through once, with its second endings."""
    order: list[int] = []
    at = 0
    while at < len(section.bars):
        if section.bars[at].ending == "1":
            at = behind_first_ending(section.bars, at)
        else:
            order.append(at)
            at += 1
    return _Pass(section, tuple(order))


def _marked(passes: Sequence[_Pass], mark: str) -> tuple[int, int] | None:
    """Finds the first bar with a mark: which pass, and which of its bars."""
    for which, one in enumerate(passes):
        for place, bar in enumerate(one.bars):
            if mark in one.section.bars[bar].marks:
                return which, place
    return None


def _from_mark(back: list[_Pass], jump: _Jump, found: Gathering) -> list[_Pass]:
    at = _marked(back, "segno")
    if at is None:
        _no_mark(jump, "segno", found)
        return back
    which, place = at
    return [_Pass(back[which].section, back[which].bars[place:]), *back[which + 1 :]]


def _up_to_mark(back: list[_Pass], mark: str, jump: _Jump, found: Gathering) -> list[_Pass]:
    at = _marked(back, mark)
    if at is None:
        _no_mark(jump, mark, found)
        return back
    which, place = at
    return [*back[:which], _Pass(back[which].section, back[which].bars[: place + 1])]


def _no_mark(jump: _Jump, mark: str, found: Gathering) -> None:
    text = f"`{jump.name}` needs a bar marked !{mark}! in the sections before it, found none"
    found.error(jump.source.start, RULE, text, f"write !{mark}! into that bar of the chart")


def _numbered(passes: Sequence[_Pass], pickup: ChartBar | None) -> tuple[PlayedBar, ...]:
    times: Counter[str] = Counter()
    played: list[PlayedBar] = []
    if pickup is not None and passes:
        played.append(PlayedBar(0, passes[0].section.name, 1, 0, pickup))
    number = 0
    for one in passes:
        name = one.section.name
        times[name] += 1
        for bar in one.bars:
            number += 1
            played.append(PlayedBar(number, name, times[name], bar + 1, one.section.bars[bar]))
    return tuple(played)
