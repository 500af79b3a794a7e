"""The grammar of what follows the root of a chord symbol.

A suffix is a base quality (major, minor, diminished, half-diminished, augmented), an
extension (6, 69, 7, 9, 11, 13), and then, in any order, suspensions, altered or added tones
and omissions, with or without parentheses:

    suffix  = [quality] ["maj"] [extension] {item | "(" item {[","] item} ")"}
    item    = sus | alt | "maj" extension | ("add" | accidental) number | "no" number

Nothing is listed as a whole: `9#11`, `m9b5` and `13sus4(b9)` all follow from the parts. The
readings that the trade is not agreed on are listed in `chord_readings`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from transposary.pitch import Degree
from transposary.problems import Fault

_SAME = str.maketrans(
    {"♭": "b", "♯": "#", "Δ": "^", "△": "^", "°": "o", "º": "o", "Ø": "ø", "−": "-", "–": "-"}
)
_MAJOR = r"maj|Maj|MAJ|(?:ma|Ma|MA)(?!dd|[a-z])|M(?![Ii])|\^"
_HEAD = re.compile(
    rf"""
    (?: (?P<major>{_MAJOR})
      | (?P<minor>min|Min|MIN|mi|Mi|MI|m|-)
      | (?P<half>ø)
      | (?P<dim>dim|Dim|o(?!mit))
      | (?P<aug>aug|Aug|\+)
    )?
    (?: /?(?P<seventh>{_MAJOR}) (?=\d|$) )?
    (?: (?P<extension>6/9|69|6|5|2) | (?P<height>13|11|9|7) (?P<late>maj|M(?![Ii]))? )?
    """,
    re.VERBOSE,
)
_ITEM = re.compile(
    rf"""
      (?P<sus>sus) (?: (?P<by>2/4|24|2|4) | (?P<susext>13|9|7) )?
    | (?P<alt>alt)
    | (?: no | omit ) (?P<omitted>13|11|9|7|5|3)
    | (?: add (?P<addsign>[b#]?) (?P<added>13|11|9|6|4|3|2) )
    | (?P<sign>[b#+-]) (?P<number>13|11|9|6|5|4)
    | (?P<augmented>\+)
    | (?P<major>{_MAJOR}) (?P<extension>13|11|9|7)
    | (?P<natural>13|11|9|6)
    """,
    re.VERBOSE,
)
_KINDS = {
    "sus": "sus",
    "alt": "alt",
    "omitted": "omit",
    "added": "add",
    "number": "alter",
    "augmented": "alter",
    "extension": "seventh",
    "natural": "add",
}
_UNHEARD_OF = ((4, -1), (6, 1), (11, -1), (13, 1))
_SIGNS = {"": 0, "b": -1, "-": -1, "#": 1, "+": 1}


def plain_suffix(suffix: str) -> str:
    """Writes a suffix with ASCII accidentals and one sign for each quality, character by character."""
    return suffix.translate(_SAME)


@dataclass(frozen=True, slots=True)
class Head:
    """What a suffix begins with.

    Attributes:
        quality: `""`, `major`, `minor`, `half`, `dim` or `aug`.
        major_seventh: Whether the seventh is major.
        extension: `""`, `2`, `5`, `6`, `69`, `7`, `9`, `11` or `13`.
    """

    quality: str
    major_seventh: bool
    extension: str

    @property
    def height(self) -> int:
        """How far thirds are stacked: 7, 9, 11 or 13; 0 for a triad or a sixth chord."""
        if self.extension in ("7", "9", "11", "13"):
            return int(self.extension)
        return 0


@dataclass(frozen=True, slots=True)
class Item:
    """One change to the tones that the head names.

    Attributes:
        kind: `sus`, `alt`, `alter`, `add`, `omit` or `seventh`.
        tones: What it brings; for `omit` and `seventh` only the number counts.
        offset: Where it stands in the suffix.
        text: As it is written.
    """

    kind: str
    tones: tuple[Degree, ...]
    offset: int
    text: str


def tones_of(suffix: str) -> tuple[Degree, ...] | Fault:
    """Reads a suffix into the tones of its chord.

    Args:
        suffix: What follows the root, without the bass: `m7b5`, `Δ7`, `13(#11)`.

    Returns:
        The degrees over the root, ascending, or what cannot be read, with its offset.
    """
    plain = plain_suffix(suffix)
    head = _head(plain)
    if isinstance(head, Fault):
        return head
    if plain == "4":
        return Fault(0, "'4' can mean two things", "write 'sus4' or 'add4'")
    begun, end = head
    items = _items(plain, end)
    if isinstance(items, Fault):
        return items
    return _build(*_settle(begun, items))


def _head(plain: str) -> tuple[Head, int] | Fault:
    if plain[:1] in ("b", "#"):
        text = f"the sign in '{plain}' is read with the root when it stands right behind it"
        return Fault(0, text, f"write '({plain})'")
    match = _HEAD.match(plain)
    if match is None:  # never, since every part is optional
        return Fault(0, f"cannot read '{plain}'")
    quality = next((name for name in ("major", "minor", "half", "dim", "aug") if match[name]), "")
    extension = (match["extension"] or match["height"] or "").replace("/", "")
    wrong = _head_fault(match, quality, extension)
    if wrong is not None:
        return wrong
    raised = match["seventh"] is not None or match["late"] is not None
    if match["major"] == "^" or (raised and not extension) or quality == "half":
        extension = extension or "7"
    major = raised or (quality == "major" and match["height"] is not None) or match["major"] == "^"
    return Head(quality, major, extension), match.end()


def _head_fault(match: re.Match[str], quality: str, extension: str) -> Fault | None:
    raised = match["seventh"] or match["late"]
    if raised and quality in ("half", "major"):
        return Fault(match.start(), f"'{match[0]}' names the seventh twice")
    if raised and match["extension"]:
        return Fault(match.start(), f"'{match[0]}' names a major seventh and no extension that has one")
    if extension == "5" and quality not in ("", "aug"):
        hint = "write '(b5)' for a lowered fifth" if match["minor"] == "-" else ""
        return Fault(match.start(), f"'{match[0]}' names a chord without a third and a quality", hint)
    if quality == "aug" and extension in ("6", "69", "11", "13", "2"):
        return Fault(match.start(), f"'{match[0]}' can mean two things", "put the alteration in parentheses")
    if quality in ("half", "dim") and extension in ("6", "69", "2"):
        return Fault(match.start(), f"'{match[0]}' is no chord: a diminished chord has no added {extension}")
    return None


def _items(plain: str, start: int) -> tuple[Item, ...] | Fault:
    found: list[Item] = []
    inside, opened = False, start
    at = start
    while at < len(plain):
        sign = plain[at]
        if sign == "(" and not inside:
            inside, opened = True, at
        elif sign == ")" and inside:
            inside = False
        elif not (inside and sign in ", " and at > opened + 1):
            match = _ITEM.match(plain, at)
            item = None if match is None else _item(match, inside=inside)
            if match is None or item is None:
                return Fault(at, f"cannot read '{plain[at:]}'")
            found.append(item)
            at = match.end()
            continue
        at += 1
    if inside:
        return Fault(opened, "the parenthesis is not closed", "add ')'")
    return tuple(found)


def _item(match: re.Match[str], *, inside: bool) -> Item | None:
    """Makes an item of what was matched; a bare number or `maj7` is one only in parentheses."""
    kind = next(name for name in _KINDS if match[name])
    if kind in ("natural", "extension") and not inside:
        return None
    tones = _item_tones(match, kind)
    if any((tone.number, tone.alter) in _UNHEARD_OF for tone in tones):
        return None
    return Item(_KINDS[kind], tones, match.start(), match[0])


def _item_tones(match: re.Match[str], kind: str) -> tuple[Degree, ...]:
    match kind:
        case "sus":
            by = match["by"] or "4"
            late = (Degree(int(match["susext"])),) if match["susext"] else ()
            return (*(Degree(number) for number in (2, 4) if str(number) in by), *late)
        case "alt":
            return ()
        case "augmented":
            return (Degree(5, 1),)
        case "number":
            return (Degree(int(match["number"]), _SIGNS[match["sign"]]),)
        case "added":
            return (Degree(int(match["added"]), _SIGNS[match["addsign"]]),)
        case _:
            return (Degree(int(match[kind])),)


def _settle(head: Head, items: tuple[Item, ...]) -> tuple[Head, tuple[Item, ...]]:
    """Moves an extension that is written late, as in `m(maj7)` or `sus7`, into the head."""
    rest: list[Item] = []
    for item in items:
        height = next((tone.number for tone in item.tones if tone.number >= 7), 0)
        if not head.extension and item.kind == "seventh":
            head = Head(head.quality, major_seventh=True, extension=str(height))
        elif not head.extension and item.kind == "sus" and height:
            head = Head(head.quality, head.major_seventh, str(height))
            rest.append(Item("sus", item.tones[:-1], item.offset, item.text))
        elif not head.extension and item.kind == "alt":
            head = Head(head.quality, head.major_seventh, "7")
            rest.append(item)
        else:
            rest.append(item)
    return head, tuple(rest)


def _build(head: Head, items: tuple[Item, ...]) -> tuple[Degree, ...] | Fault:
    tones = set(_stack(head))
    stacked = frozenset(tones)
    for item in items:
        wrong = _contradiction(head, item, tones, items)
        if wrong is not None:
            return Fault(item.offset, wrong)
        numbers = {tone.number for tone in item.tones}
        match item.kind:
            case "sus":
                doubled = {Degree(tone.number + 7) for tone in item.tones}
                tones = (tones - {Degree(3)} - doubled) | set(item.tones)
            case "alt":
                tones = {Degree(1), Degree(3), Degree(7, -1), *_ALTERED}
            case "omit":
                tones -= {tone for tone in tones if tone.number in numbers}
            case "alter":
                tones -= {tone for tone in stacked if tone.number in numbers and tone.alter == 0}
                tones |= set(item.tones)
            case _:
                tones |= set(item.tones)
    if head.extension == "11" and Degree(11) in tones:
        tones.discard(Degree(3))
    return tuple(sorted(tones, key=lambda tone: (tone.semitones, tone.number)))


_ALTERED = (Degree(9, -1), Degree(9, 1), Degree(11, 1), Degree(13, -1))


def _stack(head: Head) -> tuple[Degree, ...]:
    """Stacks the thirds that a head names.

    A natural eleventh over a major third is left out of 13 chords: it would clash.
    """
    third = Degree(3, -1 if head.quality in ("minor", "dim", "half") else 0)
    fifth = Degree(5, {"dim": -1, "half": -1, "aug": 1}.get(head.quality, 0))
    if head.extension == "5":
        return (Degree(1), fifth) if head.quality == "" else (Degree(1), third, fifth)
    tones = [Degree(1), third, fifth]
    if head.extension == "2":
        tones.append(Degree(2))
    if head.extension in ("6", "69"):
        tones.append(Degree(6))
    if head.extension == "69":
        tones.append(Degree(9))
    if head.height:
        minor = -2 if head.quality == "dim" else -1
        tones.append(Degree(7, 0 if head.major_seventh else minor))
    clash = head.height == 13 and third.alter == 0
    tones += [Degree(n) for n in (9, 11, 13) if head.height >= n and not (n == 11 and clash)]
    return tuple(tones)


def _contradiction(head: Head, item: Item, tones: set[Degree], items: tuple[Item, ...]) -> str | None:
    """Says in which way an item contradicts what stands before it, or None."""
    match item.kind:
        case "seventh":
            return f"'{item.text}' comes after another extension"
        case "alt":
            alone = len(items) == 1 and head == Head("", major_seventh=False, extension="7")
            return None if alone else "'alt' stands alone behind the root or its 7"
        case "sus":
            return _sus_contradiction(head, item, tones)
        case "omit":
            return _omit_contradiction(head, item, tones)
        case _:
            return f"'{item.text}' adds what the chord has already" if item.tones[0] in tones else None


def _sus_contradiction(head: Head, item: Item, tones: set[Degree]) -> str | None:
    if head.quality not in ("", "major"):
        return f"'{item.text}' replaces the third, so that minor, diminished or augmented says nothing"
    if Degree(3) not in tones or any(tone.number > 6 for tone in item.tones):
        return f"'{item.text}' finds no third to replace"
    return None


def _omit_contradiction(head: Head, item: Item, tones: set[Degree]) -> str | None:
    number = item.tones[0].number
    if number == 3 and head.quality in ("minor", "dim", "half"):
        return f"'{item.text}' leaves out the third, so that minor or diminished says nothing"
    if all(tone.number != number for tone in tones):
        return f"'{item.text}' leaves out what the chord does not have"
    return None
