import pytest

from core.edits.note_text import read_line, write_line
from core.edits.set_finger import set_finger
from core.edits.set_right_hand_line import set_right_hand_line
from core.song.errors import NoteTextError
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import DEMO_SONGS, heron_at_the_sluice, night_ferry

Q = TICKS_PER_QUARTER


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_the_line_of_every_part_reads_back_as_the_same_notes(name: str) -> None:
    song = DEMO_SONGS[name]()
    for number, part in enumerate(song.parts, 1):
        assert read_line(song, number, write_line(song, number)) == part.melody


def test_the_line_looks_like_what_is_played() -> None:
    assert write_line(night_ferry(), 2) == "c# B A A | B - - . | . B A G"
    assert write_line(heron_at_the_sluice(), 1) == "G# | c# - d# e - d# | c# - - G# - -"


def test_lengths_rests_and_octaves_are_read() -> None:
    notes = read_line(night_ferry(), 1, "E,:1/2 e':1.5 . Bb:3/2 .:1/2 F♯")
    assert [(note.onset / Q, note.duration / Q, note.pitch.plain) for note in notes] == [
        (0, 0.5, "E3"),
        (0.5, 1.5, "E6"),
        (3, 1.5, "Bb4"),
        (5, 1, "F#4"),
    ]


@pytest.mark.parametrize(
    ("line", "place", "reason"),
    [
        ("E G X A", 4, "neither a note"),
        ("E4 G", 1, r"a length follows a colon, as in C:2"),
        ("E 2 G", 2, r"octaves are c, c' or C,"),
        ("E #F", 2, r"after the letter of its note, as in F#"),
        ("E ♭B", 2, r"after the letter of its note, as in F♭"),
        ("E G | A B", 4, "no bar begins here"),
        ("E G:z A", 3, "after a colon"),
        ("E G:0 A", 3, "more than nothing"),
        ("- E", 0, "there is none"),
        ("E . -", 4, "there is none"),
        ("E:8 G", 4, "already full"),
        ("Ebbbb", 0, "no key"),
    ],
)
def test_a_mistake_is_shown_at_its_place(line: str, place: int, reason: str) -> None:
    with pytest.raises(NoteTextError, match=reason) as refusal:
        read_line(night_ferry(), 1, line)
    assert refusal.value.place == place


def test_a_note_that_stays_keeps_its_finger() -> None:
    song = set_right_hand_line(set_finger(night_ferry(), 1, 2, 4), 1, "E F# A B | A - G F#")
    assert [note.finger for note in song.part(1).melody] == [None, None, 4, None, None, None, None]


def test_the_same_line_changes_nothing() -> None:
    song = night_ferry()
    assert set_right_hand_line(song, 2, " c# B A A | B - - . | . B A G ") is song
