"""ABC tunes read: letters and lengths, bars and endings, chords, keys, books."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.formats.abc_reader import AbcReader
from core.formats.reading import Reading
from core.song.errors import ForeignFileError, FormatError, SeveralTunesError
from core.song.note import Hand
from core.song.song import Song
from core.song.time import quarters
from core.theory.chord_symbols import write_chord

HEAD = "X:1\nT:Tried\nM:4/4\nL:1/4\nK:C\n"


def read(text: str, tune: int | None = None) -> Reading:
    return AbcReader().read("book.abc", text.encode(), tune)


def heard(text: str) -> list[tuple[Fraction | int, Fraction | int, str]]:
    return [
        (quarters(onset), quarters(note.duration), note.pitch.plain) for onset, note in read(text).song.placed_notes()
    ]


def names(text: str) -> str:
    return " ".join(name for _, _, name in heard(text))


def chords(song: Song) -> list[tuple[Fraction | int, str]]:
    return [(quarters(onset), write_chord(chord.symbol)) for onset, chord in song.placed_chords()]


def test_letters_are_pitches_and_figures_are_lengths() -> None:
    assert heard(HEAD + "C, D E2 | c/ d/2 e3/2 c'3/ |") == [
        (0, 1, "C3"),
        (1, 1, "D4"),
        (2, 2, "E4"),
        (4, Fraction(1, 2), "C5"),
        (Fraction(9, 2), Fraction(1, 2), "D5"),
        (5, Fraction(3, 2), "E5"),
        (Fraction(13, 2), Fraction(3, 2), "C6"),
    ]


def test_rests_take_time() -> None:
    assert heard(HEAD + "C z x C |") == [(0, 1, "C4"), (3, 1, "C4")]


def test_a_rest_of_bars_lasts_its_bars() -> None:
    assert heard(HEAD + "C4 | Z2 | C4 |")[1][0] == 12


def test_broken_rhythm_and_tuplets() -> None:
    assert [length for _, length, _ in heard(HEAD + "A>B A<B | (3ABA z2 |")] == [
        Fraction(3, 2),
        Fraction(1, 2),
        Fraction(1, 2),
        Fraction(3, 2),
        Fraction(2, 3),
        Fraction(2, 3),
        Fraction(2, 3),
    ]


def test_grace_notes_take_no_time() -> None:
    assert heard(HEAD + "{Bc}d4 |") == [(0, 0, "B4"), (0, 0, "C5"), (0, 4, "D5")]


def test_the_key_alters_its_letters() -> None:
    assert names("X:1\nL:1/4\nK:Ebm\nB G A e") == "Bb4 Gb4 Ab4 Eb5"


def test_an_accidental_holds_to_the_end_of_its_bar_in_every_octave() -> None:
    assert names(HEAD + "^F F f =F | F4 |") == "F#4 F#4 F#5 F4 F4"


def test_a_book_may_say_that_an_accidental_holds_for_one_note() -> None:
    assert names("%%propagate-accidentals not\n" + HEAD + "^F F F2 |") == "F#4 F4 F4"


def test_a_tie_carries_its_accidental_over_the_bar_line() -> None:
    assert heard(HEAD + "^F4- | F F3 |") == [(0, 5, "F#4"), (5, 3, "F4")]


def test_a_hyphen_between_different_notes_is_no_tie() -> None:
    assert names(HEAD + "F-G A2 |") == "F4 G4 A4"


def test_chords_of_notes_sound_together() -> None:
    assert heard(HEAD + "[CEG]2 [EGc]2 |")[:3] == [(0, 2, "C4"), (0, 2, "E4"), (0, 2, "G4")]


def test_chord_symbols_stand_over_their_notes() -> None:
    song = read(HEAD + '"Am"A2 "G7"B2 | "N.C."z2 "F#m7b5/A"c2 |').song
    assert chords(song) == [(0, "Am"), (2, "G7"), (4, "N.C."), (6, "F#m7b5/A")]


def test_words_that_are_no_chord_symbols_are_named() -> None:
    reading = read(HEAD + '"^slowly"A2 "huh?"B2 |')
    assert chords(reading.song) == []
    assert any("“huh?”" in warning for warning in reading.warnings)


@pytest.mark.parametrize(
    ("field", "key"),
    [
        ("C", "C major"),
        ("Am", "A minor"),
        ("G minor", "G minor"),
        ("F#min", "F# minor"),
        ("Ador", "A dorian"),
        ("D Mixolydian", "D mixolydian"),
        ("Ephr clef=treble", "E phrygian"),
        ("GM", "G minor"),
        ("Bb lyd", "Bb lydian"),
        ("Eb", "Eb major"),
    ],
)
def test_keys_and_modes(field: str, key: str) -> None:
    song = read(f"X:1\nL:1/4\nK:{field}\nA4").song
    assert (song.key.plain, song.keys[0].given) == (key, True)


def test_a_tune_without_a_key_has_one_told_from_its_notes() -> None:
    song = read("X:1\nL:1/4\nK:none\nG A B c d e ^f g").song
    assert (song.key.plain, song.keys[0].given) == ("G major", False)


@pytest.mark.parametrize(
    ("field", "metre"),
    [("C", "4/4"), ("C|", "2/2"), ("6/8", "6/8"), ("2+3/8", "5/8"), ("(2+2+3)/8", "7/8"), ("FREI4/4", "4/4")],
)
def test_metres(field: str, metre: str) -> None:
    assert str(read(f"X:1\nM:{field}\nL:1/8\nK:C\nA4").song.metre) == metre


@pytest.mark.parametrize(
    ("metre", "length"), [("2/4", Fraction(1, 4)), ("6/8", Fraction(1, 2)), ("none", Fraction(1, 2))]
)
def test_the_unit_follows_from_the_metre_where_it_is_not_stated(metre: str, length: Fraction) -> None:
    assert heard(f"X:1\nM:{metre}\nK:C\nA")[0][1] == length


@pytest.mark.parametrize(
    ("field", "bpm"),
    [("1/4=96", 96.0), ("3/8=50", 75.0), ('"Lively" 1/8=120', 60.0), ("80", 40.0), ("1/4 1/8=40", 60.0)],
)
def test_tempos_are_quarter_notes_a_minute(field: str, bpm: float) -> None:
    tempo = read(f"X:1\nM:4/4\nL:1/8\nQ:{field}\nK:C\nA8|").song.tempos[0]
    assert (tempo.bpm, tempo.given) == (bpm, True)


def test_fields_among_the_music_are_followed() -> None:
    song = read(HEAD + "C4 | [M:3/4] [K:G] F3 | [L:1/8] F6 |").song
    assert [str(change.metre) for change in song.metres] == ["4/4", "3/4"]
    assert [change.key.plain for change in song.keys] == ["C major", "G major"]
    assert [note.pitch.plain for _, note in song.placed_notes()] == ["C4", "F#4", "F#4"]


@pytest.mark.parametrize(
    ("music", "order"),
    [
        ("C4 |: D4 :| E4 |", (1, 2, 2, 3)),
        ("|: C4 |1 D4 :|2 E4 |]", (1, 2, 1, 3)),
        ("|: C4 |[1 D4 :|[2 E4 || F4 |]", (1, 2, 1, 3, 4)),
        ("C4 :: D4 :|", (1, 1, 2, 2)),
        ("|: C4 :||: D4 :|", (1, 1, 2, 2)),
        ("|: C4 |1,3 D4 :|2,4 E4 :| F4 |", (1, 2, 1, 3, 1, 2, 1, 3, 4)),
        ("|:: C4 ::| D4 |", (1, 1, 1, 2)),
        ('C4 !fine! | D4 "D.C." |]', (1, 2, 1)),
        ("C4 | !segno! D4 | E4 !D.S.! |]", (1, 2, 2)),
    ],
)
def test_repeats_endings_and_jumps(music: str, order: tuple[int, ...]) -> None:
    assert read(HEAD + music).song.playing_order == order


def test_a_short_first_bar_is_a_pick_up() -> None:
    song = read(HEAD + "G | c4 | d3 |]").song
    assert quarters(song.pickup) == 1
    assert [bar.number for bar in song.bars] == [0, 1, 2]


def test_a_repeat_with_a_pick_up_leaves_the_bar_lines_where_they_are() -> None:
    song = read(HEAD + "G | c4 | d3 :: G | e4 | c3 :|").song
    assert [quarters(change.onset) for change in song.metres] == [Fraction(0)]
    assert [quarters(onset) for onset in song.part_onsets] == [Fraction(0), Fraction(8)]


def test_the_end_of_a_line_is_no_end_of_a_phrase() -> None:
    one, two = read(HEAD + "CDEF | GABc | dcBA | G4 |"), read(HEAD + "CDEF | GA\nBc | dcBA\n| G4 |")
    assert one.song == two.song


def test_remarks_words_and_signs_of_expression_are_passed_over_and_named() -> None:
    reading = read(HEAD + "!p! ~C (D uE) .F | % a remark | with a bar\nw: la la la la\n")
    assert len(list(reading.song.placed_notes())) == 4
    assert all(any(word in warning for warning in reading.warnings) for word in ("Slurs", "words", "expression"))


def test_what_follows_an_empty_line_is_no_music() -> None:
    assert names(HEAD + "C4 | D4 |\n\nThis was a fine tune.\n") == "C4 D4"


def test_a_tune_for_one_voice_is_for_the_right_hand() -> None:
    song = read(HEAD + "C,,4 | c''4 |").song
    assert {(note.hand, note.hand_given, note.melody) for _, note in song.placed_notes()} == {(Hand.RIGHT, False, True)}


def test_several_voices_sound_together() -> None:
    text = "X:1\nM:4/4\nL:1/4\nV:1\nV:2 clef=bass\nK:C\n[V:1] e4 | f4 |\n[V:2] C,4 | D,4 |\n"
    assert heard(text) == [(0, 4, "C3"), (0, 4, "E5"), (4, 4, "D3"), (4, 4, "F5")]


def test_voices_named_after_hands_name_the_hands() -> None:
    song = read("X:1\nL:1/4\nV:RH\nV:LH\nK:C\nV:RH\nC4|\nV:LH\nG4|\n").song
    assert [(note.pitch.plain, note.hand, note.hand_given) for _, note in song.placed_notes()] == [
        ("C4", Hand.RIGHT, True),
        ("G4", Hand.LEFT, True),
    ]


BOOK = "M:3/4\nL:1/4\n\nX:7\nT:First\nK:C\nC3|\n\nX:9\nT:S\\'econd &eacute;\nC:Nobody\nK:G\nF3|\n\nX:9\nK:C\nE3|\n"


def test_a_book_is_counted_by_place_not_by_its_numbers() -> None:
    assert AbcReader().titles("book.abc", BOOK.encode()) == ("First", "Sécond é", "")
    song = read(BOOK, 2).song
    assert (song.title, song.composer, str(song.metre)) == ("Sécond é", "Nobody", "3/4")
    assert [note.pitch.plain for _, note in song.placed_notes()] == ["F#4"]


def test_a_book_without_a_number_lists_its_tunes() -> None:
    with pytest.raises(SeveralTunesError, match=r"3 tunes \(#1 First, #2 Sécond é, #3 without a title\); name one"):
        read(BOOK)


def test_a_number_that_is_not_there_is_said_to_be_missing() -> None:
    with pytest.raises(FormatError, match="no tune 4 in it, which holds 3 tunes"):
        read(BOOK, 4)


def test_old_books_in_latin_1_are_read() -> None:
    reading = AbcReader().read("old.abc", (HEAD.replace("Tried", "Tränen") + "C4|").encode("latin-1"))
    assert reading.song.title == "Tränen"


@pytest.mark.parametrize("data", [b"", b"hello", b"<xml/>", b"X:1\nno key"])
def test_what_is_no_abc_is_foreign(data: bytes) -> None:
    with pytest.raises(ForeignFileError):
        AbcReader().read("book.abc", data)


def test_a_tune_without_notes_is_read() -> None:
    reading = read(HEAD + "z4 | z4 |")
    assert not list(reading.song.placed_notes())
    assert any("not a single sounding note" in warning for warning in reading.warnings)


@given(st.text("ABCDEFGabcz,'^_=/123|:[]()<>-{}\"~. \nMKLVwQ!&%", max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_text_after_a_head_is_read_or_refused_in_one_sentence(music: str) -> None:
    try:
        outcome = read(HEAD + music).song.title
    except FormatError as error:
        outcome = str(error)
    assert "\n" not in outcome
