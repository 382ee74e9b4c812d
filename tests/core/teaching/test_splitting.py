"""A song is cut at its phrases, into parts that can be held in mind."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits.recut import recut
from core.formats.registry import read_song
from core.song.chord import Chord, ChordSymbol
from core.song.errors import DomainError
from core.song.note import Note
from core.song.part import Part
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.teaching.splitting import phrase_onsets, propose_cuts
from tests.helpers.songs import night_ferry

QUARTER = 10_080
BAR = 4 * QUARTER


def melody(text: str) -> tuple[Note, ...]:
    """Notes from words such as ``E4:2`` (a pitch and its length in quarters) and ``-:1`` (a rest)."""
    notes, now = [], 0
    for word in text.split():
        pitch, _, length = word.partition(":")
        duration = round(float(length or 1) * QUARTER)
        if pitch != "-":
            notes.append(Note(now, duration, Pitch.parse(pitch)))
        now += duration
    return tuple(notes)


def chords(text: str) -> tuple[Chord, ...]:
    """Chords from words such as ``C:4`` (a major chord and its length in quarters)."""
    placed, now = [], 0
    for word in text.split():
        root, _, length = word.partition(":")
        duration = round(float(length) * QUARTER)
        placed.append(Chord(now, duration, ChordSymbol(NoteName.parse(root))))
        now += duration
    return tuple(placed)


def song(text: str, chord_text: str = "", pickup: float = 0.0) -> Song:
    notes = melody(text)
    length = sum(round(float(word.partition(":")[2] or 1) * QUARTER) for word in text.split())
    return Song("Trial", (Part(length, notes, chords(chord_text)),), pickup=round(pickup * QUARTER))


FOUR_PHRASES = song(
    "E4 F4 G4 E4 G4:2 E4:2 F4 G4 A4 F4 A4:3 -:1 G4 F4 E4 D4 E4:2 C4:2 D4 E4 D4 B3 C4:3 -:1",
    "C:4 F:4 A:4 D:4 F:4 C:4 G:4 C:4",
)


def test_four_phrases_of_two_chords_each_become_four_parts() -> None:
    assert propose_cuts(FOUR_PHRASES) == (0, 2 * BAR, 4 * BAR, 6 * BAR)


def test_the_number_of_parts_may_be_asked_for() -> None:
    assert propose_cuts(FOUR_PHRASES, 2) == (0, 4 * BAR)
    assert propose_cuts(FOUR_PHRASES, 1) == (0,)
    assert len(propose_cuts(FOUR_PHRASES, 4)) == 4


def test_a_song_cannot_be_cut_into_no_parts() -> None:
    with pytest.raises(DomainError, match="number of parts"):
        propose_cuts(FOUR_PHRASES, 0)


def test_a_pick_up_belongs_to_the_part_it_leads_into() -> None:
    tune = song(
        "G4 C5 C5 D5 E5 C5 G4:2 G4 A4 A4 B4 C5 A4:3 G4 C5 C5 D5 E5 C5 G4:2 G4 F4 E4 D4 D4 C4:3",
        pickup=1,
    )
    cuts = propose_cuts(tune, 2)
    assert cuts == (0, 4 * BAR)
    assert tune.bars[0].duration == QUARTER


def test_a_part_keeps_the_bar_line_where_its_chord_lands_alone() -> None:
    tune = song("E4 F4 G4 E4 G4:4 -:1 F4 G4 A4 F4:4 -:1 G4 F4 E4 D4:4", "C:8 F:8 G:8")
    assert propose_cuts(tune, 3) == (0, 2 * BAR, 4 * BAR)


VERSE = "E4 F4 G4 A4 G4:2 E4:2 F4 G4 A4 B4 A4:4"
REFRAIN = "C5 B4 A4 G4 A4:2 F4:2 G4 F4 E4 D4 C4:4"


def test_passages_that_come_back_are_cut_at_the_same_places() -> None:
    tune = song(" ".join((VERSE, REFRAIN, VERSE, "B4 C5 D5 B4 G4:4", VERSE, REFRAIN)))
    cuts = set(propose_cuts(tune))
    passage = 8 * BAR
    again = passage + 6 * BAR
    assert passage in cuts
    assert again in cuts
    assert {cut for cut in cuts if cut < passage} == {cut - again for cut in cuts if cut >= again}


def test_a_melody_that_never_rests_is_still_cut_where_bars_begin() -> None:
    turning = "C4 D4 E4 F4 D4 F4 E4 G4 F4 A4 G4 E4 B4 A4 F4 D4 "
    tune = song(" ".join(f"{pitch}:0.5" for pitch in (turning * 8).split()))
    cuts = (*propose_cuts(tune), tune.length)
    onsets = [onset for onset, _ in tune.placed_notes()]
    counts = [sum(start <= onset < end for onset in onsets) for start, end in pairwise(cuts)]
    assert max(counts) <= 20
    assert all(cut % BAR == 0 for cut in cuts)


def test_a_part_begins_where_the_chord_changes_rather_than_under_a_held_one() -> None:
    notes = "E4 F4 G4 E4 " * 8
    early = song(notes, "C:8 F:8 C:8 G:8")
    late = song(notes, "G:12 C:8 F:12")
    assert propose_cuts(early, 4) == (0, 2 * BAR, 4 * BAR, 6 * BAR)
    assert {3 * BAR, 5 * BAR} <= set(propose_cuts(late, 3))


def test_no_part_begins_under_a_slur_and_a_long_slur_is_a_phrase() -> None:
    tune = song("E4 F4 G4 E4 " * 8)
    lines = [(start * BAR, end * BAR - QUARTER) for start, end in ((0, 2), (2, 5), (5, 8))]
    assert propose_cuts(tune, 3, slurs=lines) == (0, 2 * BAR, 5 * BAR)
    assert propose_cuts(tune, 3) != (0, 2 * BAR, 5 * BAR)
    free = propose_cuts(FOUR_PHRASES)
    tied = propose_cuts(FOUR_PHRASES, slurs=[(2 * BAR - 2 * QUARTER, 2 * BAR)])
    assert 2 * BAR in free
    assert 2 * BAR not in tied


def test_slurs_of_another_voice_say_nothing() -> None:
    assert propose_cuts(FOUR_PHRASES, slurs=[(BAR // 3, 7 * BAR)]) == propose_cuts(FOUR_PHRASES)


def test_repeats_and_endings_stay_cuts() -> None:
    half = melody("E4 F4 G4 E4 C4:4")
    parts = (Part(2 * BAR, half), Part(2 * BAR, half), Part(2 * BAR, half))
    tune = Song("Trial", parts, playing_order=(1, 2, 1, 3))
    assert propose_cuts(tune) == (0, 2 * BAR, 4 * BAR)
    assert propose_cuts(tune, 1) == (0, 2 * BAR, 4 * BAR)


def test_parts_that_merely_follow_one_another_are_cut_anew() -> None:
    parts = tuple(Part(BAR, melody("E4 F4 G4 E4")) for _ in range(4))
    assert propose_cuts(Song("Trial", parts), 2) == (0, 2 * BAR)


def test_a_song_without_a_melody_is_one_part_without_phrases() -> None:
    silent = Song("Trial", (Part(BAR, (), chords("C:4")),))
    assert propose_cuts(silent) == (0,)
    assert phrase_onsets(silent) == ()


def test_the_first_note_begins_a_phrase_and_so_does_a_note_after_a_rest() -> None:
    assert phrase_onsets(FOUR_PHRASES) == (0, 2 * BAR, 4 * BAR, 6 * BAR)


def test_parts_cut_by_a_teacher_begin_phrases_and_take_the_place_of_guesses_beside_them() -> None:
    assert phrase_onsets(night_ferry()) == (0, 8 * QUARTER, 20 * QUARTER)
    recut_by_hand = recut(FOUR_PHRASES, (0, 3 * BAR))
    assert phrase_onsets(recut_by_hand) == (0, 3 * BAR, 6 * BAR)


def test_parts_as_proposed_leave_the_phrases_to_the_melody() -> None:
    cut = recut(FOUR_PHRASES, propose_cuts(FOUR_PHRASES))
    assert phrase_onsets(cut) == phrase_onsets(FOUR_PHRASES)


def test_a_second_ending_that_the_melody_runs_into_begins_no_phrase() -> None:
    first = Part(3 * BAR, melody("C4 D4 E4 F4 G4:2 E4:2 F4 E4 D4 E4"))
    parts = (first, Part(BAR, melody("D4:4")), Part(BAR, melody("C4:4")))
    tune = Song("Trial", parts, playing_order=(1, 2, 1, 3))
    assert phrase_onsets(tune) == (0,)


@pytest.mark.parametrize("bars_in_a_line", [1, 2, 3, 5, 16])
def test_the_line_breaks_of_a_tune_in_letters_say_nothing_about_its_phrases(bars_in_a_line: int) -> None:
    bars = "E F G E|G2 E2|F G A F|A3 z|G F E D|E2 C2|D E D B,|C4|e d c B|c2 A2|B A G F|G4|G F E D|E2 C2|D E D B,|C4"
    head = "X:1\nT:Trial\nM:4/4\nL:1/4\nK:C\n"
    whole = read_song("trial.abc", f"{head}{bars}|]\n".encode()).song
    listed = bars.split("|")
    lines = ["|".join(listed[at : at + bars_in_a_line]) for at in range(0, len(listed), bars_in_a_line)]
    wrapped = read_song("trial.abc", (head + "|\n".join(lines) + "|]\n").encode()).song
    assert wrapped.part_onsets == whole.part_onsets
    assert phrase_onsets(wrapped) == phrase_onsets(whole)
    assert len(phrase_onsets(whole)) > 2


WORDS = st.lists(
    st.tuples(st.sampled_from(["C4", "E4", "G4", "A4", "C5", "-"]), st.sampled_from(["0.5", "1", "2"])),
    min_size=1,
    max_size=40,
).map(lambda pairs: " ".join(f"{pitch}:{length}" for pitch, length in [("C4", "1"), *pairs]))


@settings(max_examples=50, deadline=None)
@given(WORDS, st.integers(1, 9) | st.none())
def test_cuts_rise_from_the_start_and_lie_inside_the_song(text: str, count: int | None) -> None:
    tune = song(text)
    cuts = propose_cuts(tune, count)
    assert cuts[0] == 0
    assert list(cuts) == sorted(set(cuts))
    assert cuts[-1] < tune.length
    if count is not None:
        assert len(cuts) <= count


@settings(max_examples=40, deadline=None)
@given(WORDS)
def test_parts_as_proposed_would_be_proposed_again(text: str) -> None:
    tune = song(text)
    cuts = propose_cuts(tune)
    assert propose_cuts(recut(tune, cuts)) == cuts


@settings(max_examples=30, deadline=None)
@given(WORDS)
def test_every_phrase_begins_with_a_note(text: str) -> None:
    tune = song(text)
    onsets = {onset for onset, _ in tune.placed_notes()}
    assert set(phrase_onsets(tune)) <= onsets
