"""Several notes at once: moved, raised, copied, repeated, removed, given to the other hand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits.chosen_notes import Chosen
from core.edits.copy_notes import phrase_of, push_phrase, push_repeat, put_phrase, repeat_notes
from core.edits.move_notes import move_notes
from core.edits.remove_notes import remove_notes
from core.edits.set_finger import set_finger
from core.edits.set_note_hand import set_note_hand
from core.edits.set_words import set_words
from core.edits.transpose_notes import transpose_notes
from core.song.chord import Chord
from core.song.errors import EditError
from core.song.key import Key, KeyChange
from core.song.note import Hand, Note
from core.song.part import Part
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord

QUARTER = TICKS_PER_QUARTER


def notes(*names: str) -> tuple[Note, ...]:
    """A quarter note for each name; a dot for a rest."""
    return tuple(Note(place * QUARTER, QUARTER, Pitch.parse(name)) for place, name in enumerate(names) if name != ".")


def song_of(*parts: tuple[str, ...], key: str = "C") -> Song:
    made = tuple(Part(len(names) * QUARTER, notes(*names)) for names in parts)
    return Song("Song", made, keys=(KeyChange(0, Key(NoteName.parse(key))),))


def line(song: Song) -> list[tuple[float, str, float]]:
    """Onset in quarters, name and length in quarters of every note of the song."""
    return [(tick / QUARTER, note.pitch.plain, note.duration / QUARTER) for tick, note in song.placed_notes()]


def names(song: Song, number: int = 1) -> list[str]:
    return [note.pitch.plain for note in song.part(number).notes]


def every(song: Song) -> Chosen:
    return tuple((number, index) for number, part in enumerate(song.parts, 1) for index in range(len(part.notes)))


def test_notes_are_raised_by_steps_of_the_key_and_others_stay() -> None:
    song = song_of(("D4", "E4", "F#4", "G4"), key="D")
    assert names(transpose_notes(song, ((1, 1), (1, 3)), steps=1)) == ["D4", "F#4", "F#4", "A4"]
    assert names(transpose_notes(song, ((1, 1), (1, 3)), steps=-2)) == ["D4", "C#4", "F#4", "E4"]


def test_octaves_keep_the_names_and_the_teachers_fingers() -> None:
    song = set_finger(song_of(("Cb4", "E4")), 1, 0, 3)
    up = transpose_notes(song, every(song), semitones=12)
    assert names(up) == ["Cb5", "E5"]
    assert up.part(1).notes[0].finger == 3
    assert transpose_notes(song, every(song), steps=1).part(1).notes[0].finger is None


def test_notes_that_would_leave_the_keyboard_are_refused_whole() -> None:
    song = song_of(("C4", "C8"))
    with pytest.raises(EditError, match="off the keyboard"):
        transpose_notes(song, every(song), semitones=12)


def test_notes_move_in_time_together_and_into_the_next_part() -> None:
    song = song_of(("C4", "D4", "E4", "."), (".", ".", "G4", "."))
    after = move_notes(song, ((1, 1), (1, 2)), 2 * QUARTER)
    assert line(after) == [(0, "C4", 1), (3, "D4", 1), (4, "E4", 1), (6, "G4", 1)]
    assert move_notes(after, ((1, 1), (2, 0)), -2 * QUARTER) == song


def test_notes_move_in_time_and_up_at_once() -> None:
    song = song_of(("C4", "D4", ".", "."))
    assert line(move_notes(song, every(song), QUARTER, steps=2)) == [(1, "E4", 1), (2, "F4", 1)]


def test_a_note_that_would_come_upon_another_is_refused() -> None:
    song = song_of(("C4", "D4", "E4", "."))
    with pytest.raises(EditError, match="already a note"):
        move_notes(song, ((1, 0),), QUARTER)
    with pytest.raises(EditError, match="inside the song"):
        move_notes(song, ((1, 2),), 2 * QUARTER)


def test_a_phrase_is_put_in_in_place_of_what_begins_under_it() -> None:
    song = song_of(("C4", "D4", "E4", "F4"), ("G4", "A4", "B4", "C5"))
    phrase = phrase_of(song, ((1, 0), (1, 2)))
    assert phrase.duration == 3 * QUARTER
    after = put_phrase(song, 5 * QUARTER, phrase)
    assert line(after)[4:] == [(4, "G4", 1), (5, "C4", 1), (7, "E4", 1)]
    assert after.part(1) is song.part(1)


def test_a_note_held_into_the_phrase_ends_where_the_phrase_begins() -> None:
    part = Part(4 * QUARTER, (Note(0, 4 * QUARTER, Pitch.parse("C4")),))
    song = Song("Song", (part,))
    phrase = phrase_of(song_of(("E4",)), ((1, 0),))
    assert line(put_phrase(song, 2 * QUARTER, phrase)) == [(0, "C4", 2), (2, "E4", 1)]


def test_notes_are_repeated_right_behind_themselves() -> None:
    song = song_of(("C4", "D4", ".", "."), ("E4", ".", ".", "."))
    assert line(repeat_notes(song, ((1, 0), (1, 1)))) == [
        (0, "C4", 1),
        (1, "D4", 1),
        (2, "C4", 1),
        (3, "D4", 1),
        (4, "E4", 1),
    ]


def test_without_room_before_the_end_nothing_is_repeated() -> None:
    song = song_of(("C4", "D4", "E4"))
    with pytest.raises(EditError, match="no room"):
        repeat_notes(song, ((1, 1), (1, 2)))


def test_pushed_notes_move_the_rest_of_their_part_on_and_no_other() -> None:
    song = song_of(("C4", "D4", "E4", ".", "."), ("F4",))
    after = push_phrase(song, QUARTER, phrase_of(song, ((1, 0), (1, 1))))
    assert line(after) == [(0, "C4", 1), (1, "C4", 1), (2, "D4", 1), (3, "D4", 1), (4, "E4", 1), (5, "F4", 1)]
    assert after.part(2) is song.part(2)


def test_a_note_that_sounds_where_notes_are_pushed_in_ends_there() -> None:
    song = song_of(("C4", ".", "D4", "."))
    song = song.with_part(1, Part(4 * QUARTER, (Note(0, 2 * QUARTER, Pitch.parse("C4")), *song.part(1).notes[1:])))
    after = push_phrase(song, QUARTER, phrase_of(song, ((1, 1),)))
    assert line(after) == [(0, "C4", 1), (1, "D4", 1), (3, "D4", 1)]


def test_a_repeat_pushes_what_comes_behind_it() -> None:
    song = song_of(("C4", "D4", "E4", ".", "."))
    assert names(push_repeat(song, ((1, 0), (1, 1)))) == ["C4", "D4", "C4", "D4", "E4"]


def test_a_part_that_ends_too_soon_to_push_its_notes_says_how_much_is_missing() -> None:
    song = song_of(("C4", "D4", "E4", "."), ("F4",))
    with pytest.raises(EditError, match=r"Part 1 ends too soon .* a beat is missing; add a bar"):
        push_phrase(song, 0, phrase_of(song, ((1, 0), (1, 1))))
    with pytest.raises(EditError, match=r"2 beats are missing"):
        push_phrase(song, 0, phrase_of(song, ((1, 0), (1, 1), (1, 2))))


def test_nothing_is_pushed_behind_the_songs_end() -> None:
    song = song_of(("C4", "D4"))
    with pytest.raises(EditError, match="no room behind the song's last note"):
        push_repeat(song, ((1, 1),))


def test_notes_are_removed_in_several_parts_and_other_parts_stay_the_same() -> None:
    song = song_of(("C4", "D4"), ("E4", "F4"), ("G4", "A4"))
    after = remove_notes(song, ((1, 0), (3, 1)))
    assert [name for _, name, _ in line(after)] == ["D4", "E4", "F4", "G4"]
    assert after.part(2) is song.part(2)


def test_nothing_chosen_is_said() -> None:
    with pytest.raises(EditError, match="No notes are selected"):
        remove_notes(song_of(("C4",)), ())


def test_a_note_given_to_the_left_hand_leaves_the_melody_and_comes_back() -> None:
    song = set_words(set_finger(song_of(("C4", "D4")), 1, 1, 2), 1, "right_hand", "Two notes.")
    left = set_note_hand(song, ((1, 1),), Hand.LEFT)
    note = left.part(1).notes[1]
    assert (note.hand, note.hand_given, note.melody, note.finger) == (Hand.LEFT, True, False, None)
    assert left.part(1).teaching.words[0].review
    back = set_note_hand(left, ((1, 1),), Hand.RIGHT).part(1).notes[1]
    assert (back.hand, back.hand_given, back.melody) == (Hand.RIGHT, True, True)


def test_a_note_under_the_melody_stays_out_of_it_in_the_right_hand() -> None:
    part = Part(
        2 * QUARTER,
        (Note(0, QUARTER, Pitch.parse("C3"), Hand.LEFT, melody=False), Note(0, 2 * QUARTER, Pitch.parse("E4"))),
    )
    after = set_note_hand(Song("Song", (part,)), ((1, 0),), Hand.RIGHT)
    assert [note.melody for note in after.part(1).notes] == [False, True]


def test_a_hand_that_was_computed_can_be_said_to_be_right() -> None:
    song = song_of(("C4",))
    assert not song.part(1).notes[0].hand_given
    assert set_note_hand(song, ((1, 0),), Hand.RIGHT).part(1).notes[0].hand_given


def test_chords_are_not_lost_for_a_single_note_of_the_left_hand() -> None:
    part = Part(2 * QUARTER, notes("E4", "F4"), (Chord(0, 2 * QUARTER, parse_chord("C")),))
    with pytest.raises(EditError, match="plays its chords"):
        set_note_hand(Song("Song", (part,)), ((1, 1),), Hand.LEFT)


@settings(max_examples=40)
@given(st.lists(st.sampled_from(("C4", "D4", "E4", "Bb4", ".")), min_size=2, max_size=8), st.integers(-9, 9))
def test_up_and_down_again_is_the_same_song(written: list[str], steps: int) -> None:
    song = song_of(("G4", *written), key="F")
    in_key = Key(NoteName("F"))
    if all(note.pitch.name == in_key.altered(note.pitch.letter) for note in song.part(1).notes):
        chosen = every(song)
        assert transpose_notes(transpose_notes(song, chosen, steps=steps), chosen, steps=-steps) == song
