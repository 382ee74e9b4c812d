"""MusicXML read: notes, bars, keys, chords, hands, and what is said of what is left out."""

from fractions import Fraction

import pytest

from core.formats.musicxml_reader import MusicXmlReader
from core.formats.reading import Reading
from core.song.errors import BrokenFileError, ForeignFileError, FormatError
from core.song.note import Hand
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER, quarters
from core.theory.chord_symbols import write_chord
from tests.helpers.musicxml_text import attributes, grace, harmony, note, packed, rest, score


def read(data: bytes, name: str = "tune.musicxml") -> Reading:
    return MusicXmlReader().read(name, data)


def metronome(inside: str) -> str:
    return f"<direction><direction-type><metronome>{inside}</metronome></direction-type></direction>"


def heard(song: Song) -> list[tuple[Fraction | int, Fraction | int, str]]:
    return [(quarters(onset), quarters(one.duration), one.pitch.plain) for onset, one in song.placed_notes()]


def chords_in(song: Song) -> list[tuple[Fraction | int, Fraction | int, str]]:
    return [(quarters(onset), quarters(one.duration), write_chord(one.symbol)) for onset, one in song.placed_chords()]


def test_notes_have_their_pitch_as_it_is_spelled() -> None:
    song = read(score([attributes() + note("Db4", 4) + note("C#4", 2) + note("Bbb4", 2) + note("F##4", 8)])).song
    assert heard(song) == [
        (0, 1, "Db4"),
        (1, Fraction(1, 2), "C#4"),
        (Fraction(3, 2), Fraction(1, 2), "Bbb4"),
        (2, 2, "F##4"),
    ]


def test_triplets_are_exact() -> None:
    three = "".join(note("C4", 1) for _ in range(12))
    song = read(score([attributes().replace("<divisions>4", "<divisions>3") + three])).song
    assert [onset for onset, _ in song.placed_notes()] == [index * 3_360 for index in range(12)]


def test_tied_notes_are_one_note() -> None:
    first = attributes() + note("C4", 12) + note("E4", 4, tie="start")
    song = read(score([first, note("E4", 16, tie="stop start"), note("E4", 4, tie="stop") + rest(12)])).song
    assert heard(song) == [(0, 3, "C4"), (3, 6, "E4")]


def test_ties_inside_a_chord_join_each_note_with_its_own() -> None:
    first = attributes() + note("C4", 16, tie="start") + note("E4", 16, chord=True)
    song = read(score([first, note("C4", 8, tie="stop") + note("E4", 8, chord=True) + rest(8)])).song
    assert heard(song) == [(0, 6, "C4"), (0, 4, "E4"), (4, 2, "E4")]


def test_a_tie_to_nowhere_is_no_tie() -> None:
    assert heard(read(score([attributes() + note("C4", 8, tie="start") + note("D4", 8)])).song)[0] == (0, 2, "C4")


def test_a_grace_note_takes_no_time() -> None:
    song = read(score([attributes() + note("C4", 8) + grace("B4") + note("A4", 8)])).song
    assert heard(song) == [(0, 2, "C4"), (2, 0, "B4"), (2, 2, "A4")]


def test_a_chord_goes_on_over_a_direction_between_its_notes() -> None:
    words = "<direction><direction-type><words>dolce</words></direction-type></direction>"
    song = read(score([attributes() + note("C4", 16) + words + note("E4", 16, chord=True)])).song
    assert heard(song) == [(0, 4, "C4"), (0, 4, "E4")]


def test_voices_are_placed_by_going_back_and_forward() -> None:
    bar = (
        attributes()
        + note("C5", 16)
        + "<backup><duration>16</duration></backup><forward><duration>8</duration><voice>2</voice></forward>"
        + note("E4", 8)
    )
    assert heard(read(score([bar])).song) == [(0, 4, "C5"), (2, 2, "E4")]


def test_two_staves_of_one_part_name_the_hands() -> None:
    bar = (
        attributes(inside="<staves>2</staves>")
        + note("C4", 16, staff=1)
        + "<backup><duration>16</duration></backup>"
        + note("G4", 16, staff=2)
    )
    song = read(score([bar])).song
    assert [(one.pitch.plain, one.hand, one.hand_given) for _, one in song.placed_notes()] == [
        ("C4", Hand.RIGHT, True),
        ("G4", Hand.LEFT, True),
    ]


def test_a_tie_may_lead_to_the_other_staff() -> None:
    back = "<backup><duration>16</duration></backup>"
    first = (
        attributes(inside="<staves>2</staves>")
        + note("C4", 16, staff=1, tie="start")
        + back
        + rest(16, "<staff>2</staff>")
    )
    second = rest(16, "<staff>1</staff>") + back + note("C4", 16, staff=2, tie="stop")
    assert heard(read(score([first, second])).song) == [(0, 8, "C4")]


def test_two_ties_to_one_key_stay_on_their_staves() -> None:
    back = "<backup><duration>16</duration></backup>"
    first = (
        attributes(inside="<staves>2</staves>")
        + rest(8, "<staff>1</staff>")
        + note("C4", 8, staff=1, tie="start")
        + back
        + note("C4", 16, staff=2, tie="start")
    )
    second = (
        note("C4", 4, staff=1, tie="stop") + rest(12, "<staff>1</staff>") + back + note("C4", 16, staff=2, tie="stop")
    )
    song = read(score([first, second])).song
    assert [(quarters(onset), quarters(one.duration), one.hand) for onset, one in song.placed_notes()] == [
        (Fraction(0), Fraction(8), Hand.LEFT),
        (Fraction(2), Fraction(3), Hand.RIGHT),
    ]


def test_a_lead_sheet_is_a_tune_for_the_right_hand_however_wide() -> None:
    song = read(score([attributes() + harmony("C") + note("C3", 8) + note("E5", 4) + note("G6", 4)])).song
    assert {(one.hand, one.hand_given, one.melody) for _, one in song.placed_notes()} == {(Hand.RIGHT, False, True)}


def test_one_staff_leaves_the_hands_to_be_told() -> None:
    song = read(score([attributes() + note("C4", 16)])).song
    assert {one.hand_given for _, one in song.placed_notes()} == {False}


def test_the_staff_with_words_is_the_melody() -> None:
    sung = attributes() + note("C5", 16, inside="<lyric><text>la</text></lyric>")
    reading = read(score([attributes() + note("G5", 16)], [sung]))
    assert [one.pitch.plain for _, one in reading.song.placed_notes() if one.melody] == ["C5"]
    assert any("words under the notes" in warning for warning in reading.warnings)


def test_fingers_are_read() -> None:
    finger = "<notations><technical><fingering>3</fingering></technical></notations>"
    song = read(score([attributes() + note("C4", 16, inside=finger)])).song
    assert [one.finger for _, one in song.placed_notes()] == [3]


def test_a_transposing_instrument_is_read_as_it_sounds() -> None:
    clarinet = attributes(fifths=2, inside="<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>")
    song = read(score([clarinet + note("D5", 8) + note("F#5", 8)])).song
    assert heard(song) == [(0, 2, "C5"), (2, 2, "E5")]
    assert song.key.plain == "C major"


def test_notes_under_an_octave_sign_are_read_as_they_sound() -> None:
    sign = '<direction><direction-type><octave-shift type="down" size="8"/></direction-type></direction>'
    assert heard(read(score([attributes() + sign + note("C6", 16)])).song) == [(0, 4, "C6")]


@pytest.mark.parametrize(
    ("fifths", "mode", "key"), [(-3, "minor", "C minor"), (2, "dorian", "E dorian"), (0, "ionian", "C major")]
)
def test_a_key_has_its_mode(fifths: int, mode: str, key: str) -> None:
    song = read(score([attributes(fifths=fifths, mode=mode) + note("C4", 16)])).song
    assert (song.key.plain, song.keys[0].given) == (key, True)


def test_a_signature_without_a_mode_leaves_it_to_the_notes() -> None:
    a_minor = [note(pitch, 4) for pitch in ("A4", "C5", "E5", "A4", "G#4", "A4", "E4", "A4")]
    reading = read(score([attributes(mode="") + "".join(a_minor[:4]), "".join(a_minor[4:])]))
    assert (reading.song.key.plain, reading.song.keys[0].given) == ("A minor", False)
    assert any("without a mode" in warning for warning in reading.warnings)


def test_without_a_key_it_is_told_from_the_notes() -> None:
    song = read(
        score([attributes(fifths=None) + note("G4", 8) + note("B4", 4) + note("D5", 4), note("F#4", 8) + note("G4", 8)])
    ).song
    assert (song.key.plain, song.keys[0].given) == ("G major", False)


def test_keys_and_metres_change_where_they_stand() -> None:
    second = attributes(metre="3/4", fifths=1)
    song = read(score([attributes() + note("C4", 16), second + note("G4", 12), note("G4", 12)])).song
    assert [(change.onset, change.key.plain) for change in song.keys] == [(0, "C major"), (40_320, "G major")]
    assert [(change.onset, str(change.metre)) for change in song.metres] == [(0, "4/4"), (40_320, "3/4")]


def test_an_additive_metre_is_counted_together() -> None:
    bar = attributes(metre="3+2/8") + note("C4", 10)
    assert str(read(score([bar])).song.metre) == "5/8"


def test_a_metre_that_cannot_be_counted_is_named() -> None:
    free = attributes(metre="").replace("</attributes>", "<time><senza-misura/></time></attributes>")
    assert any("metres that cannot be counted" in warning for warning in read(score([free + note("C4", 16)])).warnings)


@pytest.mark.parametrize(
    ("direction", "bpm"),
    [
        ('<sound tempo="84"/>', 84.0),
        (metronome("<beat-unit>quarter</beat-unit><per-minute>120</per-minute>"), 120.0),
        (metronome("<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 60</per-minute>"), 90.0),
        (metronome("<beat-unit>half</beat-unit><per-minute>60-72</per-minute>"), 120.0),
        ('<direction><direction-type><words>Fast</words></direction-type><sound tempo="150"/></direction>', 150.0),
    ],
)
def test_tempos_are_quarter_notes_a_minute(direction: str, bpm: float) -> None:
    tempo = read(score([attributes() + direction + note("C4", 16)])).song.tempos[0]
    assert (tempo.bpm, tempo.given) == (bpm, True)


def test_without_a_tempo_it_is_100_and_not_given() -> None:
    tempo = read(score([attributes() + note("C4", 16)])).song.tempos[0]
    assert (tempo.bpm, tempo.given) == (100.0, False)


def test_a_short_first_bar_is_a_pick_up() -> None:
    song = read(score([attributes(metre="3/4") + note("G4", 4), note("C5", 12), note("C5", 8)])).song
    assert song.pickup == TICKS_PER_QUARTER
    assert [bar.number for bar in song.bars] == [0, 1, 2]


def test_a_first_bar_filled_up_with_rests_is_no_pick_up() -> None:
    song = read(score([attributes(metre="3/4") + rest(8) + note("G4", 4), note("C5", 12)])).song
    assert (song.pickup, heard(song)[0]) == (0, (2, 1, "G4"))


def test_empty_bars_before_the_first_note_are_left_out() -> None:
    song = read(score([attributes() + rest(16), rest(16), note("C4", 16)])).song
    assert (heard(song), song.length) == ([(0, 4, "C4")], 4 * TICKS_PER_QUARTER)


def test_a_short_bar_inside_does_not_shift_the_bar_lines_after_it() -> None:
    song = read(score([attributes() + note("C4", 16), note("D4", 8), note("E4", 16), note("F4", 16)])).song
    assert [quarters(bar.onset) for bar in song.bars] == [0, 4, 6, 10]


def test_chords_last_until_the_next_one() -> None:
    bars = [
        attributes() + harmony("C") + note("C4", 16),
        harmony("A", "minor") + note("C4", 8) + harmony("G", "dominant") + note("B3", 8),
    ]
    assert chords_in(read(score(bars)).song) == [(0, 4, "C"), (4, 2, "Am"), (6, 2, "G7")]


def test_a_chord_is_moved_by_its_offset() -> None:
    bar = attributes() + harmony("C") + harmony("F", inside="<offset>12</offset>") + note("C4", 16)
    assert chords_in(read(score([bar])).song) == [(0, 3, "C"), (3, 1, "F")]


def test_chords_together_over_one_note_share_its_length() -> None:
    bar = attributes() + harmony("C") + harmony("F") + note("C4", 16)
    assert chords_in(read(score([bar])).song) == [(0, 2, "C"), (2, 2, "F")]


def test_a_chord_of_no_known_kind_is_named_with_its_bar() -> None:
    reading = read(score([attributes() + note("C4", 16), harmony("C", "Tristan") + note("C4", 16)]))
    assert any(warning.startswith("The chord symbol in bar 2 was left out") for warning in reading.warnings)


def test_chords_over_empty_first_bars_are_named_and_the_last_one_held() -> None:
    reading = read(score([attributes() + harmony("C") + rest(16), harmony("G") + rest(16), note("B4", 16)]))
    assert chords_in(reading.song) == [(0, 4, "G")]
    assert any("before the first note" in warning for warning in reading.warnings)


def test_a_song_without_chords_gets_none_and_a_warning() -> None:
    reading = read(score([attributes() + note("C4", 16)]))
    assert chords_in(reading.song) == []
    assert any("no chord symbols" in warning for warning in reading.warnings)


def test_a_score_without_a_note_is_read() -> None:
    reading = read(score([attributes() + rest(16), rest(16)]))
    assert (heard(reading.song), len(reading.song.parts), reading.song.length) == ([], 1, 8 * TICKS_PER_QUARTER)
    assert any("not a single sounding note" in warning for warning in reading.warnings)


def test_slurs_over_the_first_staff_say_where_their_first_and_last_notes_are() -> None:
    first, last = (
        "<notations><slur type='start' number='2'/></notations>",
        "<notations><slur type='stop' number='2'/></notations>",
    )
    bars = [
        attributes() + note("C4", 4) + note("D4", 4, inside=first) + note("E4", 4) + note("F4", 4),
        note("G4", 4, inside=last) + note("F4", 4, inside=first) + note("E4", 4) + note("D4", 4),
    ]
    assert [(int(quarters(start)), int(quarters(end))) for start, end in read(score(bars)).slurs] == [(1, 4)]


def test_one_slur_may_end_where_the_next_begins() -> None:
    both = "<notations><slur type='start'/><slur type='stop'/></notations>"
    start, stop = ("<notations><slur type='start'/></notations>", "<notations><slur type='stop'/></notations>")
    bar = note("C4", 4, inside=start) + note("D4", 4, inside=both) + note("E4", 4) + note("F4", 4, inside=stop)
    assert [(int(quarters(here)), int(quarters(there))) for here, there in read(score([attributes() + bar])).slurs] == [
        (0, 1),
        (1, 3),
    ]


@pytest.mark.parametrize(
    ("inside", "named"),
    [
        ("<cue/>", "cue notes"),
        ("<notations><ornaments><trill-mark/></ornaments></notations>", "ornaments"),
        ("<notations><slur type='start'/></notations>", "slurs"),
        ("<notations><arpeggiate/></notations>", "arpeggio"),
        ("<notations><technical><pluck>p</pluck></technical></notations>", "playing technique"),
        ("<notations><glissando type='start'/></notations>", "glissandos"),
    ],
)
def test_what_is_left_out_of_a_note_is_named(inside: str, named: str) -> None:
    reading = read(score([attributes() + note("C4", 8) + note("D4", 8, inside=inside)]))
    assert any(named in warning for warning in reading.warnings)


def test_notes_without_pitch_and_quarter_tones_are_named() -> None:
    shown = "<display-step>E</display-step><display-octave>4</display-octave>"
    unpitched = f"<note><unpitched>{shown}</unpitched><duration>8</duration></note>"
    half_sharp = note("C4", 8).replace("<alter>0<", "<alter>0.5<")
    reading = read(score([attributes() + unpitched + half_sharp]))
    assert heard(reading.song) == [(2, 2, "C4")]
    assert all(any(word in warning for warning in reading.warnings) for word in ("without a pitch", "quarter tones"))


def test_title_composer_and_rights_are_read() -> None:
    before = (
        '<identification><creator type="composer">A. Nobody</creator><creator type="lyricist">B</creator>'
        "<rights>Free</rights><rights>of claims</rights></identification>"
    )
    song = read(score([attributes() + note("C4", 16)], title="A  “tune”", before=before)).song
    assert (song.title, song.composer, song.rights) == ("A “tune”", "A. Nobody", "Free; of claims")


def test_a_song_without_a_title_is_called_by_its_file() -> None:
    assert read(score([attributes() + note("C4", 16)], title=""), "my tune.xml").song.title == "my tune"


@pytest.mark.parametrize("container", [True, False])
def test_a_compressed_score_is_read(container: bool) -> None:
    data = packed(score([attributes() + note("C4", 16)]), container=container)
    assert heard(read(data, "tune.mxl").song) == [(0, 4, "C4")]


def test_a_score_by_bars_is_read_like_one_by_parts() -> None:
    timewise = (
        '<score-timewise><part-list><score-part id="P1"><part-name/></score-part></part-list>'
        f'<measure number="1"><part id="P1">{attributes()}{note("C4", 16)}</part></measure>'
        f'<measure number="2"><part id="P1">{note("D4", 16)}</part></measure></score-timewise>'
    )
    assert heard(read(timewise.encode()).song) == [(0, 4, "C4"), (4, 4, "D4")]


def test_a_score_in_another_encoding_is_read() -> None:
    text = score([attributes() + note("C4", 16)], title="Träume").decode()
    data = text.replace('<?xml version="1.0"?>', '<?xml version="1.0" encoding="UTF-16"?>').encode("utf-16")
    assert read(data).song.title == "Träume"


@pytest.mark.parametrize("data", [b"hello", b"MThd", b"<html><body/></html>", b'{"a": 1}'])
def test_what_is_no_score_is_foreign(data: bytes) -> None:
    with pytest.raises(ForeignFileError, match=r"^tune\.musicxml: "):
        read(data)


def test_a_score_cut_short_names_its_last_line() -> None:
    data = score([attributes() + "\n" + note("C4", 16)])
    with pytest.raises(BrokenFileError, match=r"line 2, column \d+: the file is cut short"):
        read(data[: data.index(b"<octave>")])


def test_a_slip_in_the_xml_is_found_by_line() -> None:
    data = score([attributes() + "\n" + note("C4", 16).replace("</pitch>", "</pitsch>"), "\n", "\n"])
    with pytest.raises(BrokenFileError, match="line 2, column"):
        read(data)


@pytest.mark.parametrize(
    "bar",
    [
        note("C4", 16).replace("<octave>4", "<octave>high"),
        note("C4", 16).replace("<step>C", "<step>H"),
        note("C4", 16).replace("<duration>16", "<duration>long"),
        note("C4", 16).replace("<duration>16", "<duration>-4"),
        "<attributes><divisions>0</divisions></attributes>" + note("C4"),
    ],
)
def test_a_note_that_makes_no_sense_is_found_by_its_bar(bar: str) -> None:
    with pytest.raises(BrokenFileError, match=r"tune\.musicxml, bar 2: "):
        read(score([attributes() + note("C4", 16), bar]))


@pytest.mark.parametrize(
    "data", [b"PK\3\4 damaged", packed(b"<score-partwise/>")[:40]], ids=["no package at all", "a package cut short"]
)
def test_a_damaged_package_is_broken(data: bytes) -> None:
    with pytest.raises(BrokenFileError):
        read(data, "tune.mxl")


def test_a_list_of_scores_is_refused_with_a_sentence() -> None:
    with pytest.raises(FormatError, match="list of scores"):
        read(b"<opus><title>All</title></opus>")


def test_nothing_of_music21_reaches_the_screen(capfd: pytest.CaptureFixture[str]) -> None:
    read(score([attributes() + note("C4", 16) + note("D4", 3), note("E4", 1)]))
    assert capfd.readouterr() == ("", "")
