"""Grace notes and turns at chosen notes of the melody: in the key, under the hand, heard, written, never lost."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.arranging.embellished import chosen_words, embellished
from core.arranging.ornaments import ORNAMENTS, SHORTEST_TURN, neighbour
from core.arranging.right_hand import HARMONIES, right_hand
from core.edits.set_hands import set_hands
from core.edits.set_ornament import set_ornament
from core.edits.set_teaching import set_harmony
from core.formats.registry import read_song, write_song
from core.performance.schedule import make_schedule
from core.performance.selection import one_part
from core.session.running_order import running_order
from core.session.segment_playing import segment_schedule
from core.song.errors import DomainError, EditError
from core.song.key import Key
from core.song.note import GRACE_ABOVE, GRACE_BELOW, TURN, Hand, Note
from core.song.pitch import Pitch
from core.song.song import Song
from tests.helpers.songs import DEMO_SONGS, night_ferry


def longest(song: Song, number: int = 1) -> int:
    notes = song.part(number).notes
    return max((index for index, note in enumerate(notes) if note.melody), key=lambda index: notes[index].duration)


def ornamented(ornament: str) -> tuple[Song, Note]:
    song = night_ferry()
    index = longest(song)
    return set_ornament(song, 1, index, ornament), song.part(1).notes[index]


@pytest.mark.parametrize(
    ("key", "pitch", "above", "below"),
    [
        ("C major", "E4", "F4", "D4"),
        ("D major", "B4", "C#5", "A4"),
        ("F major", "A4", "Bb4", "G4"),
        ("C major", "F#4", "G4", "E4"),
        ("C major", "G#4", "A4", "F#4"),
        ("A minor", "G#4", "A4", "F#4"),
        ("C major", "C5", "D5", "B4"),
    ],
)
def test_neighbours_are_those_of_the_key_at_most_a_whole_tone_away(
    key: str, pitch: str, above: str, below: str
) -> None:
    found = [neighbour(Pitch.parse(pitch), Key.parse(key), up=up).plain for up in (True, False)]
    assert found == [above, below]


def test_a_grace_note_is_struck_just_before_its_note() -> None:
    for ornament, up in ((GRACE_ABOVE, True), (GRACE_BELOW, False)):
        song, note = ornamented(ornament)
        key = song.key_at(note.onset)
        grace = next(one for one in right_hand(song, 1) if one.is_grace)
        assert (grace.onset, grace.pitch, grace.melody) == (note.onset, neighbour(note.pitch, key, up=up), False)
        events = [event for event in make_schedule(song, one_part(song, 1)).events if event.tick == note.onset]
        struck = [event for event in events if event.kind == "on" and event.hand is Hand.RIGHT]
        assert [event.midi for event in struck] == [grace.pitch.midi, note.pitch.midi]
        assert 0 < struck[1].seconds - struck[0].seconds < 0.1


def test_a_turn_goes_round_its_note_and_lasts_as_long() -> None:
    song, note = ornamented(TURN)
    turned = [one for one in right_hand(song, 1) if note.onset <= one.onset < note.end]
    key = song.key_at(note.onset)
    above, below = (neighbour(note.pitch, key, up=up) for up in (True, False))
    assert [one.pitch for one in turned] == [note.pitch, above, note.pitch, below, note.pitch]
    assert [one.onset for one in turned[1:]] == [one.end for one in turned[:-1]]
    assert (turned[0].onset, turned[-1].end) == (note.onset, note.end)
    assert [one.melody for one in turned] == [True, False, False, False, False]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(sorted(DEMO_SONGS)),
    st.sampled_from([ornament.name for ornament in ORNAMENTS]),
    st.sampled_from([harmony.name for harmony in HARMONIES]),
    st.integers(7, 17),
    st.data(),
)
def test_ornaments_stay_inside_the_reach_and_leave_onsets_and_length(
    name: str, ornament: str, harmony: str, reach: int, data: st.DataObject
) -> None:
    song = set_harmony(set_hands(DEMO_SONGS[name](), Hand.RIGHT, reach), 1, harmony)
    able = [i for i, note in enumerate(song.part(1).notes) if note.melody and note.duration >= SHORTEST_TURN]
    index = data.draw(st.sampled_from(able))
    plain, found = right_hand(song, 1), right_hand(set_ornament(song, 1, index, ornament), 1)
    assert {(one.onset, one.pitch) for one in plain} <= {(one.onset, one.pitch) for one in found}
    assert max(one.end for one in found) == max(one.end for one in plain)
    added = [one for one in found if (one.onset, one.pitch) not in {(p.onset, p.pitch) for p in plain}]
    for one in added:
        held = [p.pitch.midi for p in plain if p.onset <= one.onset < p.end or p.onset == one.onset]
        assert max(one.pitch.midi, *held) - min(one.pitch.midi, *held) <= reach
    schedule = make_schedule(set_ornament(song, 1, index, ornament), one_part(song, 1))
    assert sum(event.kind == "on" for event in schedule.events) == sum(e.kind == "off" for e in schedule.events)


def test_an_ornament_under_which_the_hand_cannot_hold_its_octave_is_left_away() -> None:
    song = set_harmony(set_hands(DEMO_SONGS["heron_at_the_sluice"](), Hand.RIGHT, 12), 1, "octaves_below")
    lows = {(note.onset, note.pitch.midi) for note in right_hand(song, 1) if not note.melody}
    tried = 0
    for index, note in enumerate(song.part(1).notes):
        if note.melody and (note.onset, note.pitch.midi - 12) in lows:
            tried += 1
            found = right_hand(set_ornament(song, 1, index, GRACE_ABOVE), 1)
            assert not any(one.is_grace for one in found)
            assert all(not one.ornament for one in found)
    assert tried


def test_it_is_fingered_worded_and_shown_at_the_end_while_the_plain_melody_is_taught() -> None:
    song, note = ornamented(TURN)
    found = embellished(song, 1)
    assert len(found.right_fingers.fingers) == len(found.right) == len(song.part(1).melody) + 4
    words = chosen_words(song, 1)
    assert words == (f"Right hand: a turn on the {note.pitch.name.spoken} in bar 1.",) or "in bar" in words[0]
    order = running_order(song)
    performed = next(one for one in order if one.title == "Embellish: as it is performed")
    assert words[0] in performed.say
    taught = next(one for one in order if one.title == "Part 1, right hand")
    of_plain = next(one for one in running_order(night_ferry()) if one.title == "Part 1, right hand")
    here, there = segment_schedule(song, taught), segment_schedule(night_ferry(), of_plain)
    assert [e.midi for e in here.events if e.kind == "on"] == [e.midi for e in there.events if e.kind == "on"]


@pytest.mark.parametrize("ornament", [ornament.name for ornament in ORNAMENTS])
def test_the_lesson_file_keeps_it_and_another_one_is_refused(ornament: str) -> None:
    song, _ = ornamented(ornament)
    written = write_song("a.lesson", song)
    assert read_song("a.lesson", written).song == song
    with pytest.raises(Exception, match="grace_above, grace_below or turn"):
        read_song("a.lesson", written.replace(ornament.encode(), b"trill"))


def test_musicxml_has_the_grace_note_and_the_sign_of_the_turn() -> None:
    graced, note = ornamented(GRACE_ABOVE)
    assert write_song("a.musicxml", graced).count(b"<grace") == 1
    again = read_song("a.musicxml", write_song("a.musicxml", graced)).song
    assert [one.onset for one in again.part(1).notes if one.is_grace] == [note.onset]
    turned, _ = ornamented(TURN)
    written = write_song("a.musicxml", turned)
    assert written.count(b"<turn") == 1
    assert (
        read_song("a.musicxml", written).song.part(1).melody
        == tuple(replace(one, ornament="", finger=None) for one in night_ferry().part(1).melody)
        or b"<fingering" in written
    )


def test_midi_has_the_turn_as_it_is_played() -> None:
    song, _ = ornamented(TURN)
    again = read_song("a.mid", write_song("a.mid", song)).song
    assert len(again.part(1).hand(Hand.RIGHT)) == len(song.part(1).hand(Hand.RIGHT)) + 4


def test_it_is_taken_back_and_refused_where_it_cannot_be() -> None:
    song, _ = ornamented(TURN)
    assert set_ornament(song, 1, longest(song), "") == night_ferry()
    notes = song.part(1).notes
    short = next((i for i, note in enumerate(notes) if note.duration < SHORTEST_TURN), None)
    if short is not None:
        with pytest.raises(EditError, match="no time for a turn"):
            set_ornament(song, 1, short, TURN)
    with pytest.raises(EditError, match="There is no ornament"):
        set_ornament(song, 1, 0, "trill")
    with pytest.raises(DomainError):
        replace(notes[0], ornament="trill")
