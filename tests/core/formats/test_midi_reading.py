"""MIDI files read: notes and times, metre and tempo, hands, and what is said of damaged ones."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.formats.midi_reader import MidiReader
from core.formats.reading import Reading
from core.song.errors import BrokenFileError, ForeignFileError, FormatError
from core.song.note import Hand
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER, quarters
from tests.helpers.midi_bytes import END, held, meta, midi_file, name, off, on, quantity, track

QUARTER = 480


def read(data: bytes) -> Reading:
    return MidiReader().read("tune.mid", data)


def heard(song: Song) -> list[tuple[Fraction | int, Fraction | int, int]]:
    return [(quarters(onset), quarters(note.duration), note.pitch.midi) for onset, note in song.placed_notes()]


def test_notes_have_the_times_they_are_written_with() -> None:
    song = read(midi_file(track(held(480, 60, 64), held(240, 67, wait=240)))).song
    assert heard(song) == [(0, 1, 60), (1, 1, 64), (Fraction(5, 2), Fraction(1, 2), 67)]


def test_format_0_is_read_like_format_1() -> None:
    one = read(midi_file(track(held(480, 60, 62)), form=0)).song
    two = read(midi_file(track(), track(held(480, 60, 62)), form=1)).song
    assert heard(one) == heard(two)


def test_format_2_is_refused_with_a_sentence() -> None:
    with pytest.raises(FormatError, match=r"format 2.*save it as format 0 or 1"):
        read(midi_file(track(held(480, 60)), form=2))


def test_a_status_runs_on_until_another_one() -> None:
    events = on(0, 60) + quantity(480) + bytes((60, 0)) + quantity(0) + bytes((64, 70)) + quantity(480) + bytes((64, 0))
    assert heard(read(midi_file(track(events))).song) == [(0, 1, 60), (1, 1, 64)]


def test_a_note_on_without_velocity_is_a_note_off() -> None:
    assert heard(read(midi_file(track(on(0, 60), on(480, 60, 0)))).song) == [(0, 1, 60)]


@pytest.mark.parametrize(
    ("division", "ticks"),
    [(96, 32), (120, 40), (192, 64), (384, 128), (480, 160), (960, 320), (1000, 333), (7, 2), (1, 1)],
)
def test_any_division_is_taken_to_the_nearest_tick(division: int, ticks: int) -> None:
    song = read(midi_file(track(held(ticks, 60, 62)), division=division)).song
    second = [onset for onset, _ in song.placed_notes()][1]
    assert second == round(Fraction(ticks, division) * TICKS_PER_QUARTER)


def test_times_do_not_drift_where_a_division_does_not_fit() -> None:
    song = read(midi_file(track(held(1, *[60 + step % 12 for step in range(700)])), division=7)).song
    last = [onset for onset, _ in song.placed_notes()][-1]
    assert last == round(Fraction(699, 7) * TICKS_PER_QUARTER)


def test_a_file_that_counts_in_seconds_is_read_with_a_warning() -> None:
    # −25 frames a second of 40 ticks: 1000 ticks a second, and a quarter note is taken for half a second.
    reading = read(midi_file(track(held(500, 60, 62)), division=(0xE7 << 8) | 40))
    assert heard(reading.song) == [(0, 1, 60), (1, 1, 62)]
    assert any("counts in seconds" in warning for warning in reading.warnings)


def test_metres_and_tempos_are_read_where_they_stand() -> None:
    facts = track(
        meta(0, 0x58, bytes((3, 2, 24, 8))),
        meta(0, 0x51, (600_000).to_bytes(3, "big")),
        meta(3 * 480, 0x58, bytes((6, 3, 36, 8))),
        meta(0, 0x51, (500_000).to_bytes(3, "big")),
    )
    song = read(midi_file(facts, track(held(480, *([60] * 9))))).song
    assert [(change.onset, str(change.metre)) for change in song.metres] == [(0, "3/4"), (30_240, "6/8")]
    assert [(change.onset, change.bpm, change.given) for change in song.tempos] == [
        (0, 100.0, True),
        (30_240, 120.0, True),
    ]


def test_without_a_tempo_it_is_100_and_not_given() -> None:
    tempo = read(midi_file(track(held(480, 60)))).song.tempos
    assert [(change.bpm, change.given) for change in tempo] == [(100.0, False)]


@pytest.mark.parametrize(
    ("microseconds", "bpm"), [(500_000, 120.0), (714_286, 84.0), (1_538_461, 39.0), (454_545, 132.0)]
)
def test_a_tempo_is_the_roundest_that_its_microseconds_stand_for(microseconds: int, bpm: float) -> None:
    facts = meta(0, 0x51, microseconds.to_bytes(3, "big"))
    assert read(midi_file(track(facts, held(480, 60)))).song.tempo == bpm


@pytest.mark.parametrize(
    ("sharps", "minor", "key"),
    [(0, 0, "C major"), (0, 1, "A minor"), (0xFD, 0, "Eb major"), (7, 1, "A# minor"), (0xF9, 0, "Cb major")],
)
def test_a_key_signature_is_the_key(sharps: int, minor: int, key: str) -> None:
    song = read(midi_file(track(meta(0, 0x59, bytes((sharps, minor))), held(480, 60)))).song
    assert (song.key.plain, song.keys[0].given) == (key, True)


def test_without_a_key_signature_the_key_is_told_from_the_notes() -> None:
    song = read(midi_file(track(held(480, 67, 69, 71, 72, 74, 76, 78, 79, 67)))).song
    assert (song.key.plain, song.keys[0].given) == ("G major", False)


def test_key_numbers_are_spelled_to_suit_the_key() -> None:
    flats = read(midi_file(track(meta(0, 0x59, bytes((0xFC, 0))), held(480, 68, 70, 73)))).song
    sharps = read(midi_file(track(meta(0, 0x59, bytes((4, 0))), held(480, 68, 73, 75)))).song
    assert [note.pitch.plain for _, note in flats.placed_notes()] == ["Ab4", "Bb4", "Db5"]
    assert [note.pitch.plain for _, note in sharps.placed_notes()] == ["G#4", "C#5", "D#5"]


def test_one_track_never_names_a_hand() -> None:
    song = read(midi_file(track(name("Right hand"), held(480, 72, 74, 76)))).song
    assert {note.hand_given for _, note in song.placed_notes()} == {False}


def test_two_tracks_named_right_and_left_name_the_hands() -> None:
    right, left = track(name("Rechts 11"), held(480, 60)), track(name("Links 11"), held(480, 72))
    song = read(midi_file(right, left)).song
    assert [(note.pitch.midi, note.hand, note.hand_given) for _, note in song.placed_notes()] == [
        (60, Hand.RIGHT, True),
        (72, Hand.LEFT, True),
    ]


def test_two_tracks_of_other_names_leave_the_hands_to_be_told() -> None:
    high, low = track(name("Piano"), held(480, *([76] * 4))), track(name("Piano"), held(480, *([41] * 4)))
    song = read(midi_file(high, low)).song
    assert {(note.pitch.midi, note.hand, note.hand_given) for _, note in song.placed_notes()} == {
        (76, Hand.RIGHT, False),
        (41, Hand.LEFT, False),
    }


def test_a_line_inside_two_octaves_is_a_tune_for_the_right_hand() -> None:
    song = read(midi_file(track(held(480, 48, 50, 52, 53)))).song
    assert {(note.hand, note.melody) for _, note in song.placed_notes()} == {(Hand.RIGHT, True)}


def test_the_melody_is_the_track_that_is_named_so() -> None:
    chords = track(
        name("Strings"),
        *(on(0, key) for key in (72, 76, 79)),
        *(off(960, key) if key == 72 else off(0, key) for key in (72, 76, 79)),
    )
    song = read(midi_file(chords, track(name("Vocals"), held(480, 64, 65)))).song
    assert [note.pitch.midi for _, note in song.placed_notes() if note.melody] == [64, 65]


def test_empty_bars_before_the_first_note_are_left_out() -> None:
    song = read(midi_file(track(held(480, 60, wait=2 * 4 * 480 + 480)))).song
    assert heard(song) == [(1, 1, 60)]
    assert song.length == 4 * TICKS_PER_QUARTER


def test_a_short_first_bar_under_a_metre_of_its_own_is_a_pick_up() -> None:
    facts = track(meta(0, 0x58, bytes((1, 2, 24, 8))), meta(480, 0x58, bytes((3, 2, 24, 8))))
    song = read(midi_file(facts, track(held(480, *([60] * 7))))).song
    assert (song.pickup, str(song.metre)) == (TICKS_PER_QUARTER, "3/4")
    assert [bar.number for bar in song.bars] == [0, 1, 2]


@pytest.mark.parametrize(
    ("first", "title"),
    [("Night Ferry", "Night Ferry"), ("Master Track", "tune"), ("Inst 1", "tune"), ("Piano", "tune"), ("", "tune")],
)
def test_the_title_is_the_first_tracks_name_unless_a_program_gave_it(first: str, title: str) -> None:
    assert read(midi_file(track(name(first)), track(held(480, 60)))).song.title == title


def test_percussion_and_what_else_is_left_out_is_named() -> None:
    data = track(
        on(0, 35, channel=9),
        off(480, 35, channel=9),
        quantity(0) + bytes((0xB0, 64, 127)),
        quantity(0) + bytes((0xE0, 0, 80)),
        meta(0, 0x05, b"la"),
        held(480, 60),
    )
    reading = read(midi_file(data))
    assert len(heard(reading.song)) == 1
    for word in ("Percussion", "pedal", "Pitch bends", "words"):
        assert any(word in warning for warning in reading.warnings), word


def test_a_file_without_a_note_is_a_song_without_a_note() -> None:
    reading = read(midi_file(track(meta(8 * 480, 0x06, b"here"))))
    assert heard(reading.song) == []
    assert len(reading.song.parts) == 1
    assert any("not a single sounding note" in warning for warning in reading.warnings)


def test_no_chords_are_invented() -> None:
    reading = read(midi_file(track(held(480, 60, 64, 67))))
    assert not any(part.chords for part in reading.song.parts)
    assert any("no chord symbols" in warning for warning in reading.warnings)


def test_a_note_that_is_never_released_ends_with_its_track() -> None:
    reading = read(midi_file(track(on(0, 60), meta(960, 0x06, b"end"))))
    assert heard(reading.song) == [(0, 2, 60)]
    assert any("without an end" in warning for warning in reading.warnings)


def test_an_illegal_key_signature_is_left_out_and_named() -> None:
    reading = read(
        midi_file(track(meta(0, 0x59, bytes((15, 0))), meta(0, 0x51, (600_000).to_bytes(3, "big")), held(480, 60)))
    )
    assert heard(reading.song) == [(0, 1, 60)]
    assert reading.song.tempo == 100.0
    assert "A key signature that makes no sense was left out." in reading.warnings


def test_a_meta_event_of_the_wrong_length_is_left_out_and_named() -> None:
    reading = read(midi_file(track(meta(0, 0x51, b"\x01"), meta(0, 0x58, b"\x04"), held(480, 60))))
    assert heard(reading.song) == [(0, 1, 60)]
    assert {"A tempo that makes no sense was left out.", "A time signature that makes no sense was left out."} <= set(
        reading.warnings
    )


def test_a_track_cut_short_is_read_up_to_there() -> None:
    whole = midi_file(track(held(480, 60, 62, 64, 65)))
    reading = read(whole[:-14])
    assert [midi for _, _, midi in heard(reading.song)] == [60, 62, 64]
    assert any("cut short" in warning for warning in reading.warnings)


def test_a_track_without_an_end_is_read() -> None:
    assert heard(read(midi_file(track(held(480, 60), end=False))).song) == [(0, 1, 60)]


def test_a_file_inside_another_container_is_found() -> None:
    assert heard(read(b"RIFF\x30\0\0\0RMIDdata\x28\0\0\0" + midi_file(track(held(480, 60)))).song) == [(0, 1, 60)]


@pytest.mark.parametrize("data", [b"", b"no MIDI at all", b"<xml/>"])
def test_what_is_no_midi_file_is_foreign(data: bytes) -> None:
    with pytest.raises(ForeignFileError, match=r"^tune\.mid: "):
        read(data)


def test_a_header_alone_is_broken() -> None:
    with pytest.raises(BrokenFileError):
        read(midi_file(track(held(480, 60)))[:14])


WHOLE = midi_file(
    track(name("Facts"), meta(0, 0x58, bytes((3, 2, 24, 8))), meta(0, 0x59, bytes((1, 0)))),
    track(name("Right"), held(480, 60, 62, 64)),
    track(name("Left"), held(240, 40, 42), END),
)


def notes_or_sentence(data: bytes) -> int | str:
    """How many notes are read, or what is said instead; anything else is a fault of the program."""
    try:
        return len(heard(read(data).song))
    except FormatError as error:
        return str(error)


@given(st.integers(0, len(WHOLE) - 1), st.binary(min_size=1, max_size=4))
@settings(max_examples=150, deadline=None)
def test_a_file_damaged_anywhere_is_read_or_refused_in_one_sentence(place: int, damage: bytes) -> None:
    outcome = notes_or_sentence(WHOLE[:place] + damage + WHOLE[place + len(damage) :])
    assert isinstance(outcome, int) or (outcome.startswith("tune.mid") and "\n" not in outcome)


@given(st.integers(1, len(WHOLE) - 1))
@settings(max_examples=60, deadline=None)
def test_a_file_cut_short_anywhere_is_read_or_refused_in_one_sentence(length: int) -> None:
    outcome = notes_or_sentence(WHOLE[:length])
    assert outcome in range(6) if isinstance(outcome, int) else outcome.endswith(".")
