from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.edits.set_finger import set_finger
from core.edits.set_right_hand_line import set_right_hand_line
from core.edits.transpose import transpose
from core.session.analysis import song_effort
from core.session.inspection import inspect_song
from core.session.key_choice import KeyEffort, best_key, twelve_keys
from core.session.key_passages import Passages, hands_in
from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.song.song import Song
from core.teaching.effort import effort_moved, effort_of
from tests.helpers.songs import build, lamplighters_waltz, night_ferry


def by_name(choices: tuple[KeyEffort, ...]) -> dict[str, KeyEffort]:
    return {choice.key.plain: choice for choice in choices}


def test_every_tonic_is_weighed_once() -> None:
    keys = twelve_keys(night_ferry())
    assert sorted(choice.key.tonic.pitch_class for choice in keys) == list(range(12))
    own = [choice for choice in keys if choice.is_own]
    assert len(own) == 1
    assert own[0].effort == song_effort(night_ferry()).total


def test_white_keys_are_easier_than_black_ones_for_the_same_tune() -> None:
    effort = {choice.key.plain: choice.effort for choice in twelve_keys(lamplighters_waltz())}
    assert effort["C major"] == min(effort.values())
    assert effort["Db major"] > effort["C major"]


def test_the_best_key_is_said_with_its_black_keys_against_those_of_the_song() -> None:
    keys = by_name(twelve_keys(night_ferry()))
    assert keys["D dorian"].is_best
    assert keys["D dorian"].reason.startswith("D Dorian is easiest: no black keys instead of two")
    assert keys["E dorian"].reason == "E Dorian is the song's own key: two black keys, 18 % of the notes."
    assert keys["C# dorian"].reason.startswith("C sharp Dorian is harder: five black keys instead of two")
    assert [name for name, choice in keys.items() if choice.is_best] == ["D dorian"]


def test_a_wide_stretch_is_said_to_fall_on_white_keys_or_on_black() -> None:
    ninth = build("Wide", "D major", "4/4", 90, [(8, "D - E F# G A - -", [])])
    wide = _with_written_left_hand(ninth, "D3", "E4")
    keys = by_name(twelve_keys(wide))
    assert "the stretch of a ninth falls on white keys" in keys["D major"].reason
    assert "the stretch of a ninth falls on a black key" in keys["Eb major"].reason


def test_a_key_must_fit_the_voice_to_be_best() -> None:
    song = night_ferry()
    lowest, highest = Pitch.parse("A3"), Pitch.parse("E5")
    keys = twelve_keys(song, lowest, highest)
    for choice in keys:
        assert choice.lowest is not None
        assert choice.highest is not None
        assert choice.fits == (choice.lowest.midi >= lowest.midi and choice.highest.midi <= highest.midi)
    best = best_key(keys)
    assert best is not None
    assert best.fits
    assert best.effort <= min(choice.effort for choice in keys if choice.fits) + 0.05
    narrow = twelve_keys(song, Pitch.parse("C4"), Pitch.parse("D4"))
    assert best_key(narrow) is None
    assert "does not fit the voice, it goes from " in narrow[0].reason


def test_a_song_on_its_best_key_says_so() -> None:
    keys = by_name(twelve_keys(transpose(night_ferry(), 2)))
    assert keys["D dorian"].reason == "D Dorian is the song's own key and the easiest: no black keys."


def test_fingering_moves_the_effort_of_a_key() -> None:
    """A hand of its own position in every key: the thumb on a black key costs more."""
    passages = Passages(HandProfile())
    song = build("Scale", "C major", "4/4", 90, [(8, "C D E F G A B c", [])])
    white = hands_in(song, passages)
    black = hands_in(transpose(song, 6), passages)
    assert black.fingering != white.fingering
    assert black.moved_from(white) == -6


def test_the_teachers_own_fingers_do_not_tell_keys_apart() -> None:
    song = night_ferry()
    own = [choice.effort for choice in twelve_keys(set_finger(song, 1, 0, 5))]
    assert own == [choice.effort for choice in twelve_keys(song)]


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(0, 9), min_size=2, max_size=14), st.integers(0, 11))
def test_moving_notes_counts_the_same_as_counting_them_anew(degrees: list[int], pitch_class: int) -> None:
    names = ["C", "D", "E", "F", "G", "A", "Bb", "c", "d", "f#"]
    line = " ".join(names[degree] for degree in degrees)
    song = build("Any", "C major", "4/4", 90, [(16, line, [])])
    here, there = (hands_in(each, Passages(song.hands)) for each in (song, transpose(song, pitch_class)))
    move = there.moved_from(here)
    assert move is not None
    [(total, causes)] = effort_moved(here.played, song.tempo, song.bars, [move])
    anew = effort_of(there.played, song.tempo, song.bars)
    assert (total, causes) == (anew.total, anew.causes)


def test_inspection_gives_every_key_its_reason_and_one_best() -> None:
    keys = inspect_song(night_ferry(), ["keys"])["keys"]
    assert isinstance(keys, list)
    assert all(key["reason"].endswith(".") for key in keys)
    assert [key["key"] for key in keys if key["best"]] == ["D dorian"]
    assert [key["key"] for key in keys if key["own"]] == ["E dorian"]


def test_a_song_without_notes_is_as_easy_in_every_key() -> None:
    empty = set_right_hand_line(build("Empty", "C major", "4/4", 90, [(4, "C - - -", [])]), 1, "")
    assert {choice.effort for choice in twelve_keys(empty)} == {0.0}


def _with_written_left_hand(song: Song, *pitches: str) -> Song:
    left = tuple(Note(0, song.length, Pitch.parse(pitch), Hand.LEFT, melody=False) for pitch in pitches)
    part = song.parts[0]
    return replace(song, parts=(replace(part, notes=(*left, *part.notes)),))
