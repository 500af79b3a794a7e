"""Claims as text, for the mutation test: written, read and compared by its own small rules."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from tests.theory.mutation.truths import SHAPES, Way

# Claims whose words know no parentheses.
PLAIN = ("harmony", "intervals", "rhythm")
DEGREES = ("1", "b2", "2", "#2", "b3", "3", "4", "#4", "b5", "5", "b6", "6", "b7", "7")
VOCABULARY = {
    **dict.fromkeys(("degrees", "bass", "top"), DEGREES),
    **dict.fromkeys(("chord_degrees", "chord_bass", "chord_top"), (*DEGREES, "9", "11", "b13")),
    "intervals": ("m3", "M3", "P4", "A4", "d5", "P5", "m6", "M6", "m7", "P8", "M10"),
    "rhythm": ("1", "1&", "1trip", "2", "2e", "2&", "3", "3let", "4", "4&"),
    "harmony": ("I", "I7", "ii7", "iiø7", "III7", "IV", "iv7", "#ivo7", "V", "V7", "vi", "bVII7", "I/5"),
    "shapes": tuple(
        f"{name} {position}"
        for name in SHAPES
        for position in ("root position", "1st inversion", "2nd inversion", "rootless")
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Token:
    """A group of words in a text: one word, or several in parentheses, with their offsets."""

    bar: int
    offset: int
    words: tuple[tuple[str, int], ...]


def write(way: Way, name: str) -> str:
    """Writes one way to say a claim, with the usual word of each note."""
    groups = [_group([words[0] for words in said.words]) for said in way]
    if name == "shapes":
        return ", ".join(groups)
    found = groups[:1]
    for before, said, group in zip(way, way[1:], groups[1:], strict=False):
        found += ["|"] * (said.bar - before.bar) + [group]
    return " ".join(found)


def _group(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"({' '.join(words)})"


def read(text: str, name: str) -> list[Token]:
    """Reads the groups of a text."""
    if name == "shapes":
        return [Token(0, m.start(), ((m[0].strip(), m.start()),)) for m in re.finditer(r"[^,\s][^,]*", text)]
    whole = name in PLAIN
    found, bar = [], 0
    for match in re.finditer(r"\||[^\s|]+" if whole else r"\||\([^)]*\)|[^\s|()]+", text):
        if match[0] == "|":
            bar += 1
        else:
            inside = re.finditer(r"\S+" if whole else r"[^\s()]+", match[0])
            words = tuple((word[0], match.start() + word.start()) for word in inside)
            found.append(Token(bar, match.start(), words))
    return found


def partings(text: str, name: str, ways: list[Way]) -> set[int] | None:
    """Finds where a text first leaves each way to say the truth, or None where it follows one."""
    found = [_parting(text, read(text, name), name, way) for way in ways]
    return None if None in found else {offset for offset in found if offset is not None}


def _parting(text: str, tokens: list[Token], name: str, way: Way) -> int | None:
    for index, (token, said) in enumerate(zip(tokens, way, strict=False)):
        if len(token.words) != len(said.words):
            return token.offset
        for (word, offset), true in zip(token.words, said.words, strict=True):
            if _plain(word, name) not in {_plain(one, name) for one in true}:
                return offset
        moved = index and token.bar - tokens[index - 1].bar != said.bar - way[index - 1].bar
        if "|" in text and moved:
            return token.offset
    if len(tokens) == len(way):
        return None
    return len(text) if len(tokens) < len(way) else tokens[len(way)].offset


def _plain(word: str, name: str) -> str:
    if name in PLAIN or name == "shapes":
        return word
    number = word.lstrip("b#")
    return word.removesuffix(number) + str((int(number) - 1) % 7 + 1)


def changed(text: str, name: str, seed: int) -> Iterator[str]:
    """Changes one word, group or barline of a text at a time."""
    tokens = read(text, name)
    vocabulary = VOCABULARY[name]
    joint = ", " if name == "shapes" else " "
    for number, token in enumerate(tokens):
        for place, (word, offset) in enumerate(token.words):
            for turn in (0, 1):
                other = vocabulary[(seed + 5 * number + 3 * place + 7 * turn) % len(vocabulary)]
                yield text[:offset] + other + text[offset + len(word) :]
        end = token.words[-1][1] + len(token.words[-1][0])
        end += text[end : end + 1] == ")" and text[token.offset] == "("
        group = text[token.offset : end]
        yield f"{text[:end]}{joint}{group}{text[end:]}"
        if len(tokens) > 1:
            yield (text[: token.offset] + text[end:].removeprefix(",")).strip().removesuffix(",")
    for match in re.finditer(r" \|(?= )", text):
        yield text[: match.start()] + text[match.end() :]
        following = re.compile(r" (\([^)]*\)|[^\s|]+)").match(text, match.end())
        if following:
            yield text[: match.start()] + following[0] + " |" + text[following.end() :]
