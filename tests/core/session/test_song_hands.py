"""Hands of a song: certain where given, doubtful ones named with their bars, a correction taken into account."""

from __future__ import annotations

from msgspec.structs import replace

from core.edits.set_note_hand import set_note_hand
from core.session.inspection import inspect_song
from core.session.song_hands import GIVEN, OTHERWISE, TUNE, doubtful_hands, song_hands
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import Pitch
from core.song.song import Song

QUARTER = 10_080


def shared(bars: int = 4, inner: Hand = Hand.RIGHT) -> Song:
    """A held top, a held bass, and between them a running voice that either hand could play."""
    notes = []
    for bar in range(bars):
        onset = 4 * bar * QUARTER
        notes.append(Note(onset, 4 * QUARTER, Pitch.parse("G5"), Hand.RIGHT))
        notes.append(Note(onset, 4 * QUARTER, Pitch.parse("G2"), Hand.LEFT, melody=False))
        for eighth in range(8):
            pitch = Pitch.parse(("C4", "D4", "E4")[eighth % 3])
            notes.append(Note(onset + eighth * QUARTER // 2, QUARTER // 2, pitch, inner, melody=False))
    return Song("Shared", (Part(4 * bars * QUARTER, in_order(notes)),))


def inner_voice(song: Song) -> list[int]:
    return [index for index, note in enumerate(song.part(1).notes) if note.duration == QUARTER // 2]


def test_given_hands_are_certain_and_named_as_given() -> None:
    song = shared()
    part = song.part(1)
    song = song.with_part(1, replace(part, notes=tuple(replace(note, hand_given=True) for note in part.notes)))
    assert {(hand.confidence, hand.is_doubtful, hand.reason) for hand in song_hands(song)[0]} == {(1.0, False, GIVEN)}
    assert doubtful_hands(song, 1, song_hands(song)[0]) == ()


def test_a_song_for_one_hand_has_no_doubtful_hands() -> None:
    song = Song(
        "Tune", (Part(2 * QUARTER, (Note(0, QUARTER, Pitch.parse("C3")), Note(QUARTER, QUARTER, Pitch.parse("C6")))),)
    )
    assert {(hand.confidence, hand.reason) for hand in song_hands(song)[0]} == {(1.0, TUNE)}


def test_a_hand_against_which_the_notes_speak_is_doubtful() -> None:
    song = shared()
    part = song.part(1)
    wrong = tuple(
        replace(note, hand=Hand.RIGHT) if note.pitch.plain == "G2" and note.onset else note for note in part.notes
    )
    hands = song_hands(song.with_part(1, replace(part, notes=wrong)))[0]
    against = [hand for note, hand in zip(wrong, hands, strict=True) if note.pitch.plain == "G2" and note.onset]
    assert {(hand.confidence, hand.is_doubtful, hand.reason) for hand in against} == {(0.0, True, OTHERWISE)}


def test_inspection_marks_doubtful_notes_and_names_their_bars() -> None:
    for song in (shared(inner=Hand.RIGHT), shared(inner=Hand.LEFT)):
        found = inspect_song(song, {"notes", "parts"})
        notes, parts = found["notes"], found["parts"]
        assert isinstance(notes, list)
        assert isinstance(parts, list)
        doubtful = [note for note in notes if note.get("doubtful")]
        assert all(note["confidence"] < 0.8 and note["hand_reason"].endswith(".") for note in doubtful)
        assert all(note["confidence"] >= 0.8 for note in notes if "doubtful" not in note)
        named = [sentence for sentence in parts[0]["to_look_at"] if "which hand plays" in sentence]
        assert bool(named) is bool(doubtful)
    assert doubtful


def test_a_correction_changes_computed_hands_around_it_and_no_given_ones() -> None:
    song = shared(inner=Hand.RIGHT)
    inner = inner_voice(song)
    for hand in Hand:
        after = set_note_hand(song, tuple((1, index) for index in inner[::2]), hand)
        notes = after.part(1).notes
        assert all(notes[index].hand is hand and notes[index].hand_given for index in inner[::2])
        assert not any(notes[index].hand_given for index in inner[1::2])
        again = set_note_hand(after, ((1, inner[1]),), Hand.RIGHT)
        assert all(again.part(1).notes[index] == notes[index] for index in inner[::2])


def test_a_correction_carries_the_rest_of_a_voice_along() -> None:
    moved = 0
    for hand in Hand:
        song = shared(inner=Hand.RIGHT if hand is Hand.LEFT else Hand.LEFT)
        inner = inner_voice(song)
        after = set_note_hand(song, tuple((1, index) for index in inner[::2]), hand)
        moved += sum(after.part(1).notes[index].hand is hand for index in inner[1::2])
    assert moved >= 8


def test_a_tune_for_one_hand_is_not_shared_anew_by_a_correction() -> None:
    tune = tuple(Note(beat * QUARTER, QUARTER, Pitch.parse("C4")) for beat in range(8))
    after = set_note_hand(Song("Tune", (Part(8 * QUARTER, tune),)), ((1, 3),), Hand.LEFT)
    assert [note.hand for note in after.part(1).notes].count(Hand.LEFT) == 1
