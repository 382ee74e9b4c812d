import pytest
from msgspec.structs import replace

from core.song.errors import DomainError
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import Pitch
from core.song.playing_order import can_join, passages
from core.song.time import TICKS_PER_QUARTER
from tests.helpers.songs import heron_at_the_sluice, lamplighters_waltz, night_ferry

Q = TICKS_PER_QUARTER


def test_night_ferry_has_three_parts_of_unequal_length() -> None:
    song = night_ferry()
    assert [onset // Q for onset in song.part_onsets] == [0, 8, 20]
    assert song.length == 32 * Q
    assert len(song.bars) == 8
    assert song.part_at(8 * Q - 1) == 1
    assert song.part_at(8 * Q) == 2
    assert song.part_at(10**9) == 3


def test_repeats_hold_their_cuts() -> None:
    waltz = lamplighters_waltz()
    assert waltz.playing_order == (1, 2, 3, 4, 1, 5)
    assert [can_join(waltz, number) for number in range(1, 6)] == [False, True, True, False, False]
    assert passages(waltz) == ((1,), (2, 3, 4), (5,))
    heron = heron_at_the_sluice()
    assert passages(heron) == ((1, 2), (3,), (4,))


def test_a_changed_part_leaves_the_others_the_same_objects() -> None:
    song = night_ferry()
    part = song.part(2)
    changed = song.with_part(2, replace(part, notes=part.notes[:-1]))
    assert changed.parts[0] is song.parts[0]
    assert changed.parts[2] is song.parts[2]


def test_a_note_must_start_inside_its_part() -> None:
    with pytest.raises(DomainError, match="before its part's end"):
        Part(Q, (Note(Q, Q, Pitch.parse("C4")),))


def test_a_song_names_the_field_that_is_wrong() -> None:
    song = night_ferry()
    with pytest.raises(DomainError, match="playing order"):
        replace(song, playing_order=(1, 4))
    with pytest.raises(DomainError, match="pick-up"):
        replace(song, pickup=4 * Q)
    with pytest.raises(DomainError, match="parts"):
        replace(song, parts=())
