import pytest
from msgspec.structs import replace

from core.edits.add_chord import add_chord
from core.edits.join_parts import join_parts
from core.edits.move_chord import move_chord
from core.edits.remove_chord import remove_chord
from core.edits.rename_chord import rename_chord
from core.edits.split_part import split_part
from core.song.errors import EditError
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord, write_chord
from tests.helpers.songs import night_ferry

Q = TICKS_PER_QUARTER


def chords(song: Song, number: int) -> list[tuple[float, float, str]]:
    return [(chord.onset / Q, chord.duration / Q, write_chord(chord.symbol)) for chord in song.part(number).chords]


def test_a_chord_is_renamed_in_both_halves() -> None:
    song = split_part(night_ferry(), 1, 4 * Q)
    song = rename_chord(song, 1, 0, parse_chord("Em7"))
    assert chords(song, 1) == [(0, 4, "Em7")]
    assert chords(song, 2) == [(0, 4, "Em7")]
    assert song.part(2).chords[0].continued


def test_the_second_half_of_a_divided_chord_may_become_its_own() -> None:
    song = rename_chord(split_part(night_ferry(), 1, 4 * Q), 2, 0, parse_chord("C"))
    assert chords(song, 1) == [(0, 4, "Em")]
    assert not song.part(2).chords[0].continued


def test_a_new_chord_ends_the_one_it_begins_inside() -> None:
    song = add_chord(night_ferry(), 2, 4 * Q, 99 * Q, parse_chord("D"))
    assert chords(song, 2) == [(0, 4, "A"), (4, 4, "D"), (8, 4, "G")]
    with pytest.raises(EditError, match="already a chord"):
        add_chord(song, 2, 4 * Q, Q, parse_chord("E"))


def test_the_chord_before_is_held_on_in_place_of_a_removed_one() -> None:
    assert chords(remove_chord(night_ferry(), 2, 1), 2) == [(0, 12, "A")]
    assert chords(remove_chord(night_ferry(), 2, 0), 2) == [(8, 4, "G")]


def test_a_chord_begins_earlier_or_later_and_the_one_before_meets_it() -> None:
    assert chords(move_chord(night_ferry(), 2, 1, 6 * Q), 2) == [(0, 6, "A"), (6, 6, "G")]
    assert chords(move_chord(night_ferry(), 2, 1, 10 * Q), 2) == [(0, 10, "A"), (10, 2, "G")]
    for onset in (0, 12 * Q):
        with pytest.raises(EditError, match="begin after the chord before it"):
            move_chord(night_ferry(), 2, 1, onset)


def suggested(song: Song) -> Song:
    """The song with every chord suggested, none the teacher's."""
    parts = (replace(part, chords=tuple(replace(chord, given=False) for chord in part.chords)) for part in song.parts)
    return replace(song, parts=tuple(parts))


def test_a_cut_through_a_suggested_chord_leaves_two_suggested_halves() -> None:
    song = suggested(night_ferry())
    first = song.part(1).chords[0]
    cut = split_part(song, 1, first.onset + first.duration // 2)
    assert [chord.given for chord in (cut.part(1).chords[-1], cut.part(2).chords[0])] == [False, False]
    assert join_parts(cut, 1).part(1).chords == song.part(1).chords


def test_a_suggested_chord_that_is_renamed_is_the_teachers_in_both_halves() -> None:
    song = suggested(night_ferry())
    first = song.part(1).chords[0]
    cut = split_part(song, 1, first.onset + first.duration // 2)
    renamed = rename_chord(cut, 1, len(cut.part(1).chords) - 1, parse_chord("F#m7"))
    assert (renamed.part(1).chords[-1].given, renamed.part(2).chords[0].given) == (True, True)
    assert not any(chord.given for chord in renamed.part(2).chords[1:])


def test_a_suggested_chord_that_is_moved_is_the_teachers() -> None:
    song = suggested(add_chord(night_ferry(), 1, 4 * Q, 2 * Q, parse_chord("Am")))
    moved = move_chord(song, 1, 1, 5 * Q)
    assert [chord.given for chord in moved.part(1).chords] == [False, True]


def test_confirming_a_suggested_chord_by_its_own_name_makes_it_given_on_both_sides_of_a_cut() -> None:
    song = suggested(split_part(night_ferry(), 1, 4 * Q))
    for number in (1, 2):
        confirmed = rename_chord(song, number, 0, parse_chord("Em"))
        assert [confirmed.part(n).chords[0].given for n in (1, 2)] == [True, True]
        assert confirmed.part(2).chords[0].continued
        assert chords(confirmed, 1) == chords(song, 1)
        assert not any(chord.given for part in confirmed.parts[2:] for chord in part.chords)


def test_naming_a_given_chord_as_it_is_named_changes_nothing() -> None:
    song = night_ferry()
    assert rename_chord(song, 1, 0, parse_chord("Em")) is song
