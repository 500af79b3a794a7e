"""Bars: where repeats and endings stand, how bars are numbered, and whether they are full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from transposary.passage import Bar, Meter
from transposary.reading.abc.assembly import DraftVoice
from transposary.reading.abc.elements import Barline
from transposary.reading.abc.findings import BARS, Findings, counted


@dataclass(frozen=True, slots=True)
class Plan:
    """A bar of one voice with the barlines around it.

    Attributes:
        number: As musicians count, see `Bar.number`.
        onset: Its start, counted from the start of the music.
        duration: What its events add up to.
        meter: The time signature in force.
        repeat_begun: A repeat begins before it.
        repeat_ended: A repeat ends after it.
        double: A double barline stands after it.
        ending: `1` or `2` where an ending begins, else empty.
        unclear: Something in it could not be read.
        offset: Where it begins in the text.
    """

    number: int
    onset: Fraction
    duration: Fraction
    meter: Meter
    repeat_begun: bool
    repeat_ended: bool
    double: bool
    ending: str
    unclear: bool
    offset: int

    @property
    def short(self) -> bool:
        """Whether it is shorter than its meter."""
        return self.duration < self.meter.length

    @property
    def shape(self) -> tuple[object, ...]:
        """What all voices must agree in."""
        return (self.meter, self.repeat_begun, self.repeat_ended, self.double, self.ending)


def plan_bars(voice: DraftVoice, findings: Findings) -> tuple[Plan, ...]:
    """Finds the barlines around each bar of a voice and numbers the bars."""
    boundaries: list[Sequence[Barline]] = [bar.opening for bar in voice.bars] + [voice.closing]
    check_boundaries(boundaries, findings)
    plans: list[Plan] = []
    for index, draft in enumerate(voice.bars):
        before, after = boundaries[index], boundaries[index + 1]
        last = index == len(voice.bars) - 1
        ended = any(line.repeat_ended for line in after)
        plan = Plan(
            0,
            draft.onset,
            draft.duration,
            draft.meter,
            any(line.repeat_begun for line in before),
            ended,
            not ended and any(line.double and not (last and line.text in ("|]", "[|")) for line in after),
            next((line.ending for line in before if line.ending), ""),
            draft.unclear,
            draft.offset,
        )
        plans.append(plan)
    return tuple(numbered(plans))


def numbered(plans: Sequence[Plan]) -> Iterator[Plan]:
    """Numbers bars as musicians count: a pickup is 0, the second half of a divided bar counts no more."""
    number = 0
    for index, plan in enumerate(plans):
        if index == 0:
            number = 0 if plan.short and not plan.unclear and len(plans) > 1 else 1
        elif not _is_second_half(plans, index):
            number += 1
        yield Plan(
            number,
            plan.onset,
            plan.duration,
            plan.meter,
            plan.repeat_begun,
            plan.repeat_ended,
            plan.double,
            plan.ending,
            plan.unclear,
            plan.offset,
        )


def _divided(plans: Sequence[Plan], index: int) -> bool:
    """Tells whether a sign that may divide a bar stands after the bar at `index`."""
    if index < 0 or index + 1 >= len(plans):
        return False
    following = plans[index + 1]
    here = plans[index]
    return here.repeat_ended or here.double or following.repeat_begun or bool(following.ending)


def _completes(one: Plan, other: Plan) -> bool:
    return one.short and other.short and one.duration + other.duration == one.meter.length


def _is_second_half(plans: Sequence[Plan], index: int) -> bool:
    return _divided(plans, index - 1) and _completes(plans[index - 1], plans[index])


def check_boundaries(boundaries: Sequence[Sequence[Barline]], findings: Findings) -> None:
    """Notes repeats that end before the first bar and what begins behind the last one."""
    for line in boundaries[0]:
        if line.repeat_ended:
            findings.add(line.offset, BARS, "a repeat ends before the first bar", "write |: here")
    for line in boundaries[-1]:
        if line.repeat_begun:
            findings.add(line.offset, BARS, "a repeat begins behind the last bar", "write :| or |] here")
        elif line.ending:
            findings.add(
                line.offset, BARS, f"the ending {line.ending} holds no bar", "write its bars, or leave it out"
            )


def check_repeats(plans: Sequence[Plan], findings: Findings) -> None:
    """Notes repeats that never end, and endings that do not come in pairs or do not go back."""
    for plan, text, hint in (*wrong_repeats(plans), *wrong_endings(plans)):
        findings.add(plan.offset, BARS, text, hint)


def wrong_repeats(plans: Sequence[Plan]) -> Iterator[tuple[Plan, str, str]]:
    """Lists repeats that never end: the bar before which each begins, what is wrong, and its mend in ABC."""
    ends = "write :| where it ends"
    begun: Plan | None = None
    for plan in (*plans, None):
        if begun is not None and (plan is None or plan.repeat_begun):
            yield begun, f"the repeat that begins before bar {begun.number} does not end", ends
        if plan is not None and plan.repeat_begun:
            begun = plan
        if plan is not None and plan.repeat_ended:
            begun = None


def wrong_endings(plans: Sequence[Plan]) -> Iterator[tuple[Plan, str, str]]:
    """Lists endings that are no pair, and first ones that do not go back, as `wrong_repeats` does."""
    unpaired = ("the first ending has no second", "write :|2 and its bars")
    first: Plan | None = None
    for index, plan in enumerate(plans):
        if plan.ending == "2" and first is None:
            yield plan, "a second ending stands without a first", "write the first one: [1 … :|"
        elif plan.ending == "2" and not plans[index - 1].repeat_ended:
            yield plan, "the first ending closes without a repeat sign", "write :|2 or :| [2"
        elif plan.ending == "1" and first is not None:
            yield first, *unpaired
        if plan.ending:
            first = plan if plan.ending == "1" else None
    if first is not None:
        yield first, *unpaired


def wrong_bars(plans: Sequence[Plan]) -> list[Plan]:
    """Lists bars that are longer or shorter than their meter.

    Short is right: a pickup, and what a repeat sign, a double barline, an ending or the end
    leaves of a bar, if the rest of it stands behind the sign, at the other end of the
    repeat, or in the pickup.
    """
    return [
        plan
        for index, plan in enumerate(plans)
        if not plan.unclear
        and plan.duration != plan.meter.length
        and not (plan.short and _may_be_short(plans, index))
    ]


def check_lengths(plans: Sequence[Plan], voice: str, unit: Fraction, findings: Findings) -> None:
    """Notes bars that do not fill their meter."""
    wrong = wrong_bars(plans)
    of_voice = f" of {voice}" if voice else ""
    if _have_one_cause(wrong, plans):
        first = wrong[0]
        text = f"{len(wrong)} of the {len(plans)} bars{of_voice} have {compared(first)}"
        findings.add(first.offset, BARS, text, "mend M: or L:, or those bars")
        return
    for plan in wrong:
        more = plan.duration - plan.meter.length
        text = f"bar {plan.number}{of_voice} has {compared(plan)}"
        hint = f"take {_units(more, unit)} away" if more > 0 else f"add {_units(-more, unit)}"
        findings.add(plan.offset, BARS, text, hint)


def _have_one_cause(wrong: Sequence[Plan], plans: Sequence[Plan]) -> bool:
    """Tells whether most bars are wrong in one way, so that their meter or unit must be."""
    return len(wrong) > 3 and 2 * len(wrong) > len(plans) and len({one.duration for one in wrong}) == 1


def compared(plan: Plan) -> str:
    """Says how many beats a bar has and how many its meter wants."""
    found = plan.duration / plan.meter.beat
    noun = "beat" if found <= 1 else "beats"
    return f"{_mixed(found)} {noun}, {plan.meter} wants {_mixed(plan.meter.beats)}"


def _may_be_short(plans: Sequence[Plan], index: int) -> bool:
    plan = plans[index]
    if plan.number == 0:
        return True
    halves: list[Plan] = []
    if _divided(plans, index - 1):
        halves.append(plans[index - 1])
    if _divided(plans, index):
        halves.append(plans[index + 1])
    if plan.repeat_ended:
        halves.append(plans[_repeat_start(plans, index)])
    halves.extend(plans[end] for end in _ends_going_back_to(plans, index))
    if index == len(plans) - 1:
        halves.append(plans[0])
        halves.append(plans[_section_start(plans, index)])
    if plan.ending == "2":
        first = next((i for i in range(index - 1, 0, -1) if plans[i].ending == "1"), 0)
        halves.append(plans[first - 1])
    return any(_completes(plan, half) for half in halves if half is not plan)


def _repeat_start(plans: Sequence[Plan], index: int) -> int:
    for at in range(index, 0, -1):
        if plans[at].repeat_begun or (at < index and plans[at - 1].repeat_ended and not plans[at].ending):
            return at
    return 0


def _ends_going_back_to(plans: Sequence[Plan], index: int) -> Iterator[int]:
    for at in range(index + 1, len(plans)):
        if plans[at].repeat_ended and _repeat_start(plans, at) == index:
            yield at


def _section_start(plans: Sequence[Plan], index: int) -> int:
    for at in range(index, 0, -1):
        if plans[at].repeat_begun or plans[at - 1].double:
            return at
    return 0


def _mixed(beats: Fraction) -> str:
    whole, rest = divmod(beats, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _units(length: Fraction, unit: Fraction) -> str:
    return f"{_mixed(length / unit)} of L: {unit / 4}"


def check_agreement(plans: dict[str, tuple[Plan, ...]], findings: Findings) -> None:
    """Notes the first place where a voice and the first voice differ in their bars."""
    names = list(plans)
    model = plans[names[0]]
    for name in names[1:]:
        mine = plans[name]
        differing = next(
            (
                (one, other)
                for one, other in zip(model, mine, strict=False)
                if one.shape != other.shape or one.duration != other.duration
            ),
            None,
        )
        if differing is not None:
            one, other = differing
            what = (
                "is of another length" if one.shape == other.shape else "has other barlines or another meter"
            )
            text = f"bar {other.number} of {name} {what} than bar {one.number} of {names[0]}"
            findings.add(other.offset, BARS, text, "give all voices the same bars")
        elif len(model) != len(mine):
            text = f"{name} has {counted(len(mine), 'bar')}, {names[0]} has {len(model)}"
            findings.add(mine[-1].offset, BARS, text, "fill the shorter voice with rests: Z")


def finish_bars(plans: Sequence[Plan], shift: Fraction) -> tuple[Bar, ...]:
    """Makes the bars of a passage; `shift` is the length of the pickup."""
    bars: list[Bar] = []
    open_ending = False
    for index, plan in enumerate(plans):
        open_ending = open_ending or bool(plan.ending)
        closed = open_ending and (index == len(plans) - 1 or _divided(plans, index))
        open_ending = open_ending and not closed
        bars.append(
            Bar(
                plan.number,
                plan.onset - shift,
                plan.duration,
                plan.meter,
                plan.repeat_begun,
                plan.repeat_ended,
                plan.ending,
                closed,
                plan.double,
            )
        )
    return tuple(bars)
