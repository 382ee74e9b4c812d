"""Why a chord was suggested: which notes of the melody, or of the left hand, belong to it."""

from msgspec.structs import replace

from core.session.suggested_reasons import suggestion_reason
from core.song.note import Hand
from core.song.part import in_order
from core.song.song import Song
from core.teaching.naming import Names, Naming
from tests.helpers.drawn_songs import drawn_song, melody, part


def guessed(notes: str, harmony: str) -> Song:
    song = drawn_song("Guess", "C major", "4/4", part(notes, harmony))
    chords = tuple(replace(chord, given=False) for chord in song.part(1).chords)
    return replace(song, parts=(replace(song.part(1), chords=chords),))


def test_notes_of_the_melody_inside_and_outside_the_chord_are_named_once_each() -> None:
    song = guessed("C4 D4 E4 C4", "C:4")
    assert suggestion_reason(song.part(1), 0) == "of the melody C and E belong to it, D does not"


def test_a_melody_that_has_nothing_to_do_with_the_chord_is_said_so() -> None:
    song = guessed("D4 B4 D4 B4", "C:4")
    said = "it goes with the chords around it; of the melody none of D and B belongs to it"
    assert suggestion_reason(song.part(1), 0) == said


def test_a_rest_is_said() -> None:
    song = guessed("-:4 E4:4", "C:4 C:4")
    assert "nothing sounds in the melody here" in suggestion_reason(song.part(1), 0)


def test_a_written_left_hand_is_what_the_chord_was_heard_in() -> None:
    song = guessed("D4:4", "Eb:4")
    left = tuple(replace(note, hand=Hand.LEFT, melody=False) for note in melody("Eb3 G3 Eb3 Bb3")[1])
    song = replace(song, parts=(replace(song.part(1), notes=in_order((*song.part(1).notes, *left))),))
    assert suggestion_reason(song.part(1), 0) == "of the left hand E♭, G and B♭ belong to it"
    assert "Es, G and B belong" in suggestion_reason(song.part(1), 0, Names(Naming.GERMAN))


def test_a_stated_chord_has_no_such_reason() -> None:
    assert suggestion_reason(part("C4:4", "C:4"), 0) == ""
