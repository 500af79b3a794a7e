"""Which devices belong together, and why."""

from __future__ import annotations

from dataclasses import replace

from tests.site.small import applied, concept, device, heard, ref, song
from tests.theory.build import build
from transposary.glossary import Device, Glossary, Kind
from transposary.site.related import relations

PLAIN = build("C4 E4", chords="0 C")
OTHER = build("F4 A4", chords="0 F", key="F")


def _why(devices: tuple[Device, ...], slug: str) -> dict[str, str]:
    concepts = (concept("passing-note"), concept("walk-up"))
    found = relations(Glossary(devices, (song("low-tide"),), concepts))
    return {relation.device.slug: relation.why for relation in found[slug]}


def test_devices_that_share_nothing_are_not_related() -> None:
    """A glossary of strangers has no relations, and no device is related to itself."""
    assert _why((device("one", PLAIN), device("two", OTHER)), "one") == {}


def test_shared_concepts_and_songs_are_named() -> None:
    """A device heard in a song and one played in it share the song."""
    one = replace(
        device("one", PLAIN), concepts=(ref("walk-up"), ref("passing-note")), heard_in=(heard("low-tide"),)
    )
    two = replace(device("two", OTHER), concepts=(ref("walk-up"),), applied_in=(applied("low-tide"),))
    assert _why((one, two), "two") == {"one": "the song Low tide; the concept Walk up"}


def test_shared_entries_can_be_linked() -> None:
    """A reason that names an entry says which one."""
    one = replace(device("one", PLAIN), concepts=(ref("walk-up"),))
    two = replace(device("two", OTHER), concepts=(ref("walk-up"),))
    (relation,) = relations(Glossary((one, two), concepts=(concept("walk-up"),)))["one"]
    assert [reason.entry for reason in relation.reasons] == [(Kind.CONCEPT, "walk-up")]


def test_the_same_harmony_in_another_key_relates() -> None:
    """Numerals are compared, not chord symbols; a chord said twice counts once."""
    one = device("one", build("C4:4 B3:4 C4:4", chords="0 Dm7; 4 G7; 6 G7; 8 Cmaj7"))
    two = device("two", build("E4:2 F4:2", chords="0 Em7; 2 A7", key="D"))
    assert _why((one, two), "one") == {"two": "the harmony ii7 V7"}
    assert _why((one, two), "two") == {"one": "the harmony ii7 V7"}


def test_one_chord_in_common_is_no_shared_harmony() -> None:
    """Nearly every device has a tonic chord."""
    one = device("one", build("C4:4 A3:4", chords="0 C; 4 F"))
    assert _why((one, device("two", build("G4:2 B3:2", chords="0 C"))), "one") == {}


def test_a_line_of_degrees_within_a_longer_one_relates() -> None:
    """Four degrees in a row are the same idea, in whatever key, hand and rhythm."""
    one = device("one", build("C4 D4 E4:1/2 F4:1/2"))
    two = device("two", build(LH="D2 A2:2 G2:2 A2:2 B2:2 C3:4 G2", key="G"))
    assert _why((one, two), "one") == {"two": "the degrees 1 2 3 4"}


def test_three_degrees_in_common_are_chance() -> None:
    """Short lines would relate everything to everything."""
    assert _why((device("one", build("C4 D4 E4")), device("two", build("C4 D4 E4"))), "one") == {}


def test_two_degrees_that_alternate_are_chance() -> None:
    """Root and fifth are in every other bass."""
    line = "C3 C3 C3 G3"
    assert _why((device("one", build(LH=line)), device("two", build(LH=line))), "one") == {}


def test_accidentals_are_written_for_readers() -> None:
    """A page shows ♭ and ♯ in what is shared."""
    one = device("one", build("C4:2 Bb3:2", chords="0 C; 2 Bb", key="C"))
    two = device("two", build("D4:2 C4:2", chords="0 D; 2 C", key="D"))
    assert _why((one, two), "one") == {"two": "the harmony I ♭VII"}


def test_what_the_author_says_comes_first_and_reads_from_either_side() -> None:
    """A variant is named as such on both pages, before what was found."""
    original = replace(device("original", PLAIN), concepts=(ref("walk-up"),))
    variant = replace(device("variant", OTHER), concepts=(ref("walk-up"),), variant_of=ref("original"))
    assert _why((original, variant), "original") == {
        "variant": "a variant of this device; the concept Walk up"
    }
    assert _why((original, variant), "variant") == {
        "original": "this device is a variant of it; the concept Walk up"
    }
    pointing = replace(device("pointing", OTHER), see_also=(ref("original"),))
    assert _why((original, pointing), "original") == {"pointing": "worth seeing beside it"}
    assert _why((original, pointing), "pointing") == {"original": "worth seeing beside it"}


def test_the_closest_come_first_and_eight_at_most() -> None:
    """More reasons weigh more, then the title decides, and a long list is cut."""
    one = replace(device("one", PLAIN), concepts=(ref("walk-up"),), heard_in=(heard("low-tide"),))
    many = tuple(replace(device(f"n{i}", OTHER), concepts=(ref("walk-up"),)) for i in range(9))
    near = replace(device("zz", OTHER), concepts=(ref("walk-up"),), heard_in=(heard("low-tide"),))
    assert list(_why((one, *many, near), "one")) == ["zz", "n0", "n1", "n2", "n3", "n4", "n5", "n6"]
