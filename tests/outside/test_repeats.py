"""The order of bars as played, against music21, which writes the repeats of our MusicXML out."""

from itertools import groupby

from music21 import converter, stream

from tests.engraving.samples import SAMPLES
from tests.outside.tunes import tunes
from transposary.engraving.musicxml import write_musicxml
from transposary.passage import Passage
from transposary.stretches import as_played, unfolded

TUNES = {**tunes(), "endings": SAMPLES["endings"], "divided bar": SAMPLES["divided bar"]}
# Where a repeat ends with no sign for where it began, music21 goes back to the very first bar, also
# behind another repeat, and takes the pickup along where its time is not left open.
UNSIGNED = ("DimenDruDeelishReel", "GenSheridansReel", "GreenSleevesJig")


def _theirs(passage: Passage) -> list[tuple[int, int]]:
    """Lists the bar numbers and pitches of the first voice as music21 plays them."""
    score = converter.parse(write_musicxml(passage, title="", tempo=None), format="musicxml")
    played = score.parts[0].expandRepeats()
    return [
        (measure.number, pitch.midi)
        for measure in played.getElementsByClass(stream.Measure)
        for note in measure.recurse().notes
        if "ChordSymbol" not in note.classes and not note.duration.isGrace
        for pitch in note.pitches
    ]


def _ours(passage: Passage) -> list[tuple[int, int]]:
    played = unfolded(passage)
    return [
        (played.bar_at(event.onset).number, head.pitch.midi)
        for event in played.voices[0].events
        for head in event.heads
    ]


def test_repeats_and_endings_are_played_as_music21_plays_them() -> None:
    """Bar by bar and note by note, in every fifth tune of those that repeat something."""
    repeated = [name for name, tune in TUNES.items() if len(as_played(tune)) > 1]
    chosen = [name for name in repeated[::5] if name not in UNSIGNED] + ["endings", "divided bar"]
    assert len(chosen) > 15
    differing = [name for name in chosen if _theirs(TUNES[name]) != _ours(TUNES[name])]
    assert differing == []


def test_a_repeat_without_a_sign_begins_behind_the_last_one() -> None:
    """The second strain is not the first once more, and a pickup comes where the bar before is short."""
    order = {
        name: [number for number, _ in groupby(number for number, _ in _ours(TUNES[name]))]
        for name in UNSIGNED
    }
    first, second = [*range(1, 9)], [*range(9, 17)]
    assert order["DimenDruDeelishReel"] == [0, *first, *first, *second, *second]
    assert order["GenSheridansReel"] == [*first, *first, *second, *second]
    # Its eighth bar is divided: the rest of it leads into the second strain.
    assert order["GreenSleevesJig"] == [0, *first, 0, *first, *second, 8, *second]
