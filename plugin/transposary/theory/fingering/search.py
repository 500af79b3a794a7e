"""The fingering of least cost, found by dynamic programming over the moments of a hand.

A note that is held keeps its finger. Where no two fingers reach from one note of a line to the
next, where a rest leaves the hand time, and from and to chords, the hand may leap: any grip can
follow, at the cost of `grips.cost_along`. Where a held note cannot be held on to, its finger lets go
of it, as with the pedal down; where no grip holds what is struck, no fingering is suggested for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from transposary.theory.fingering.grips import Grip, cost_along, crossed_grips, grips, steps, turns


@dataclass(frozen=True, slots=True)
class Wish:
    """Fingers asked for at a moment.

    Attributes:
        grip: A finger a key struck, lowest first; 0 where any will do.
        bend: Points for each finger that is not followed, or None where it has to be.
        shunned: A finger a key that should stay off it, 0 for none; it counts as not followed.
    """

    grip: Grip
    bend: int | None = None
    shunned: Grip = ()

    def missed(self, grip: Sequence[int]) -> int:
        """Counts what a grip of the same keys does not follow."""
        missed = sum(wish not in (0, finger) for wish, finger in zip(self.grip, grip, strict=True))
        return missed + sum(one == finger for one, finger in zip(self.shunned, grip, strict=False))


@dataclass(frozen=True, slots=True)
class Moment:
    """What a hand has to play at one moment; keys are MIDI numbers, mirrored for the left hand.

    Attributes:
        struck: The keys struck, ascending.
        held: The keys held from earlier, ascending.
        rested: Whether a rest before it leaves the hand time to move.
        wish: The fingers asked for, or None.
    """

    struck: tuple[int, ...]
    held: tuple[int, ...] = ()
    rested: bool = False
    wish: Wish | None = None


# A way through the moments so far: what came before, the keys down now, and their grip.
_Way = tuple["_Way | None", tuple[int, ...], Grip]
# The best ways by the finger before the last one of a line (0 outside a line) and the last grip.
_Layer = dict[tuple[int, Grip], tuple[int, _Way | None]]


def search(moments: Sequence[Moment]) -> tuple[Grip, ...]:
    """Finds the easiest fingering: a grip of the keys struck for each moment, or none.

    Of fingerings that cost the same, the one that comes first from its end is taken, lower
    fingers before higher ones.
    """
    layer: _Layer = {(0, ()): (0, None)}
    down: tuple[int, ...] = ()
    before: tuple[int, ...] = ()
    for moment in moments:
        layer, keys = _next(layer, moment, before, down)
        before, down = down, keys
    _, way = min(layer.values(), key=lambda found: found[0])
    found: list[Grip] = []
    for moment in reversed(moments):
        assert way is not None  # noqa: S101  (each moment has added one)
        way, keys, grip = way
        fingers = dict(zip(keys, grip, strict=True))
        found.append(tuple(fingers[key] for key in moment.struck) if grip else ())
    return tuple(reversed(found))


def _next(
    layer: _Layer, moment: Moment, before: tuple[int, ...], down: tuple[int, ...]
) -> tuple[_Layer, tuple[int, ...]]:
    """Adds a moment to all ways; gives them and the keys that are down then."""
    held = tuple(key for key in moment.held if key in down)
    keys = tuple(sorted({*moment.struck, *held}))
    if len(keys) == 1 and len(down) == 1 and not held and not moment.rested:
        line = _in_line(layer, keys, _options(moment, keys), before, down)
        if line:
            return line, keys
    for kept in (held, ()) if held else ((),):
        keys = tuple(sorted({*moment.struck, *kept}))
        moved = _moved(layer, keys, _options(moment, keys), down, kept)
        if moved:
            return moved, keys
    cost, way = min(layer.values(), key=lambda found: found[0])
    return {(0, ()): (cost, (way, (), ()))}, ()


def _options(moment: Moment, keys: tuple[int, ...]) -> Sequence[tuple[Grip, int]]:
    """Lists the grips of the keys that are down, with what they and their wishes cost."""
    found = grips(keys)
    wish = moment.wish
    if wish is None:
        return found
    if keys != moment.struck:
        fingers = dict(zip(moment.struck, wish.grip, strict=True))
        wish = replace(wish, grip=tuple(fingers.get(key, 0) for key in keys))
    if wish.bend is not None:
        return [(grip, cost + wish.bend * wish.missed(grip)) for grip, cost in found]
    followed = [option for option in found if not wish.missed(option[0])]
    if not followed and 1 < len(keys) <= 5:
        followed = [option for option in crossed_grips(keys) if not wish.missed(option[0])]
    return followed or found


def _in_line(
    layer: _Layer,
    keys: tuple[int, ...],
    options: Sequence[tuple[Grip, int]],
    before: tuple[int, ...],
    down: tuple[int, ...],
) -> _Layer:
    """Goes on in a line of single notes, by the rules of the model."""
    costs = {grip[0]: cost for grip, cost in options}
    following = steps(down[0], keys[0] - down[0])
    bends = turns(down[0] - before[0], keys[0] - before[0]) if before else None
    found: _Layer = {}
    for (earlier, grip), (cost, way) in layer.items():
        finger = grip[0]
        bend = bends[earlier][finger] if bends is not None and earlier else None
        for other, points in following[finger]:
            if other not in costs:
                continue
            total = cost + points + costs[other] + (bend[other] if bend is not None else 0)
            state = (finger, (other,))
            known = found.get(state)
            if known is None or total < known[0]:
                found[state] = (total, (way, keys, state[1]))
    return found


def _moved(
    layer: _Layer,
    keys: tuple[int, ...],
    options: Sequence[tuple[Grip, int]],
    down: tuple[int, ...],
    held: tuple[int, ...],
) -> _Layer:
    """Goes from grip to grip; the fingers of held keys stay."""
    best: dict[Grip, tuple[int, _Way | None]] = {}
    for (_, grip), found in layer.items():
        if grip not in best or found[0] < best[grip][0]:
            best[grip] = found
    staying = [(down.index(key), keys.index(key)) for key in held]
    low, high = (keys[0] - down[0], keys[-1] - down[-1]) if down else (0, 0)
    layers: _Layer = {}
    for grip, points in options:
        for other, (cost, way) in best.items():
            if any(other[there] != grip[here] for there, here in staying):
                continue
            total = cost + points + (cost_along(low, high, other, grip) if other else 0)
            known = layers.get((0, grip))
            if known is None or total < known[0]:
                layers[0, grip] = (total, (way, keys, grip))
    return layers
