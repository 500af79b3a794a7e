"""How much of what is played comes back: the table of capture, over all passages.

python -m tests.bench.capturing            both halves, all deviations, whatever is known
python -m tests.bench.capturing tempo 20   one row of it, with the passages that went wrong
python -m tests.bench.capturing counts     the rhythms of a beat, counted in the first half
python -m tests.bench.capturing keys       keys of whole tunes, stretches of chorales and devices

The tempo alone does not tell where bars begin: a take may begin on any beat, and its notes do not
always tell which. So the row `tempo` has two figures more: the share of drafts that ask, and of those
that have wrong bars and do not ask. The row `pickup` has the answer to the question.
"""

import sys
from collections import Counter
from fractions import Fraction
from time import perf_counter

from tests.outside.judged import Score, judge
from tests.outside.keyed import FOLDERS, finding_of, findings_of, is_key, stretches, whole_tunes
from tests.outside.played import Known, Piece, demo_pieces, halves, meant, pieces
from transposary.capture.patterns import Division, pulse_of
from transposary.passage import Key, Meter
from transposary.theory.keyfinding import KeyFinding, find_key

HEAD = ("onset", "length", "bars", "whole", "hands", "asked", "astray")


def main(words: list[str]) -> None:
    """Prints what the words of the command line ask for."""
    fitted, judged = halves(pieces())
    if words == ["keys"]:
        _print_keys()
        return
    if words == ["counts"]:
        _print_counts(fitted)
        return
    known = [Known(words[0])] if words else list(Known)
    jitters = [int(words[1])] if words[1:] else [10, 20, 30]
    print(f"{len(fitted)} passages fitted, {len(judged)} judged; a part of the notes, of the passages")
    print(f"{'':28}{'  '.join(f'{name:>6}' for name in HEAD)}")
    for one in known:
        for jitter in jitters:
            for name, half in (("fitted", fitted), ("judged", judged)):
                _print_row(f"{one:8} {jitter} ms  {name}", half, jitter, one, each=bool(words[1:]))


def _print_row(name: str, half: tuple[Piece, ...], jitter: int, known: Known, *, each: bool) -> None:
    start = perf_counter()
    total = Score()
    for piece in half:
        score = judge(piece, jitter, known)
        total += score
        if each and not score.whole:
            shares = " ".join(f"{share:6.3f}" for share in score.shares)
            print(f"    {shares}  {piece.name} {piece.passage.meter} {piece.tempo} {piece.feel}")
    numbers = [
        *total.shares,
        total.hands / max(total.two_hands, 1),
        total.asked / len(half),
        total.astray / len(half),
    ]
    spent = (perf_counter() - start) / len(half)
    print(f"{name:28}{'  '.join(f'{one:6.3f}' for one in numbers)}  {spent:.2f} s a passage", flush=True)


def _print_keys() -> None:
    print(f"{'':28}     n   first  among the first two  asked")
    for folder in FOLDERS:
        tunes = list(whole_tunes(folder))
        sounding = ([(note.number, float(note.length)) for note in tune.notes] for tune in tunes)
        _print_found(folder, [(find_key(one), tune.key) for one, tune in zip(sounding, tunes, strict=True)])
    found = [(finding_of(one.notes, Meter(4, 4)), one.key) for one in stretches()]
    _print_found("stretches of chorales", found)
    for name, half in zip(("fitted", "judged"), halves(demo_pieces()), strict=True):
        _print_found(f"devices, {name}", findings_of(half))


def _print_found(name: str, found: list[tuple[KeyFinding, Key]]) -> None:
    first = sum(is_key(finding.first, key) for finding, key in found) / len(found)
    second = sum(is_key(finding.second, key) for finding, key in found) / len(found)
    asked = sum(not finding.sure for finding, _ in found) / len(found)
    print(f"{name:28}{len(found):6}  {first:6.3f}  {first + second:19.3f}  {asked:5.3f}", flush=True)


def _print_counts(half: tuple[Piece, ...]) -> None:
    counts: dict[Division, Counter[str]] = {division: Counter() for division in Division}
    for piece in half:
        division, unit = pulse_of(piece.passage.meter)
        beats: dict[int, set[Fraction]] = {}
        for one in meant(piece):
            beats.setdefault(int(one.onset // unit), set()).add(one.onset % unit / unit * 24)
        for beat in range(int(piece.passage.bars[0].onset // unit), int(piece.passage.end // unit)):
            counts[division][" ".join(map(str, sorted(beats.get(beat, ()))))] += 1
    for division, counted in counts.items():
        for places, count in counted.most_common():
            print(f'{division}: ("{places}", {count})')


if __name__ == "__main__":
    main(sys.argv[1:])
