from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.song.chord import NO_CHORD, ChordSymbol
from core.song.errors import ChordSymbolError
from core.theory.chord_symbols import parse_chord, show_chord, spoken_chord, write_chord
from tests.core.theory.chord_strategies import chord_symbols

SPELLINGS = {
    "C": "C CM Cmaj CMaj Cma C(maj)",
    "Cm": "Cm C- Cmin Cmi CMI Cminor c- cm",
    "C7": "C7 Cdom7 C(7)",
    "Cmaj7": "Cmaj7 CMaj7 CM7 CMA7 Cma7 CΔ CΔ7 C△ C∆7 C^7 C^ Cj7 C7M C(maj7)",
    "Cm7": "Cm7 C-7 Cmin7 Cmi7 CMI7 Cminor7",
    "CmMaj7": "CmMaj7 CmM7 Cm(maj7) Cmin(maj7) Cm/maj7 Cm/M7 C-Δ7 C-Δ CmΔ C-maj7 Cminmaj7 C-(M7)",
    "Cm7b5": "Cm7b5 Cø Cø7 CØ C∅7 Cm7(b5) Cm7-5 C-7b5 Cmin7b5 Cm7♭5 Chalfdim7 Chalf-dim",
    "Cdim": "Cdim C° Co Cº Cdiminished",
    "Cdim7": "Cdim7 C°7 Co7 C˚7",
    "Caug": "Caug C+ Caugmented",
    "Caug7": "Caug7 C+7",
    "C7#5": "C7#5 C7+5 C7+ C7aug C7(#5) C7♯5",
    "C7b5": "C7b5 C7-5 C7(b5) C7−5",
    "C(b5)": "C(b5) C-5",
    "C(#5)": "C(#5) C+5",
    "Csus4": "Csus4 Csus Csuspended",
    "Csus2": "Csus2",
    "C7sus4": "C7sus4 C7sus Csus7 C7(sus4) Cm7sus4",
    "C9sus4": "C9sus4 C9sus Csus9",
    "Csus4add2": "Csus2sus4 Csus4sus2 Csus24 Csus2/4 Csus4add2",
    "Cmaj7sus4": "Cmaj7sus4 CM7sus",
    "Cadd9": "Cadd9 C(add9) C(9)",
    "Cadd2": "C2 Cadd2 C(add2)",
    "Cadd4": "C4 Cadd4",
    "Cmadd9": "Cmadd9 Cm(add9) Cminadd9",
    "C6": "C6 CM6 Cmaj6",
    "Cm6": "Cm6 C-6 Cmin6",
    "C6/9": "C6/9 C69 C6(9) C6add9",
    "Cm6/9": "Cm6/9 Cm69 C-6/9",
    "C9": "C9",
    "Cm9": "Cm9 C-9",
    "Cmaj9": "Cmaj9 CM9 CΔ9",
    "C11": "C11",
    "C13": "C13",
    "C13#11": "C13#11 C13(#11) C13(♯11)",
    "Cmaj7#11": "Cmaj7#11 CM7+11 CΔ#11 Cmaj7(#11)",
    "C7#9": "C7#9 C7(#9) C7+9 C7♯9",
    "C7b9": "C7b9 C7(b9) C7-9 C7♭9",
    "C7b9#11": "C7b9#11 C7(b9,#11) C7#11b9 C7(#11)(b9)",
    "C7add13": "C7add13 C7(13) C7/13",
    "Cm7add11": "Cm7add11 Cm7(11) Cm7(add11)",
    "C7alt": "C7alt Calt C7(alt) C7altered",
    "C5": "C5",
    "Cno3": "Cno3 C(no3) Comit3 C(omit3) Cno3rd",
    "C7no3no5": "C7no3no5 C7omit3,5 C7(no3,5)",
    "C+9": "",
    "Cmaj7#5": "Cmaj7#5 C+M7 CaugM7 Caug(maj7) C+Δ",
    "CmMaj7b5": "C°M7 CdimM7 C°(maj7)",
    "C/E": "C/E C/e CM/E",
    "F#/A#": "F#/A# F♯/A♯",
    "Bb/D": "Bb/D B♭/D",
    "Am7/G": "Am7/G A-7/G am7/g",
    "Bbm": "Bbm bbm B♭m",
}


@pytest.mark.parametrize(
    ("written", "text"), [(written, text) for written, texts in SPELLINGS.items() for text in texts.split()]
)
def test_every_way_of_writing_a_chord_is_read(written: str, text: str) -> None:
    assert write_chord(parse_chord(text)) == written


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("C", "C major"),
        ("Cm7", " C minor 7 "),
        ("C7", "C dominant 7"),
        ("Cm7b5", "C half-diminished 7"),
        ("Am7/G", "Am7 / G"),
        ("C7b9", "C7 (b9)"),
        ("C7sus4", "C7 sus4"),
        ("Cadd9", "C add 9"),
        ("Caug9", "C+9"),
    ],
)
def test_spaces_and_whole_words_are_read(written: str, text: str) -> None:
    assert write_chord(parse_chord(text)) == written


@pytest.mark.parametrize("text", ["N.C.", "NC", "n.c.", "N.C", "N/C", "no chord", " NC "])
def test_no_chord_is_read(text: str) -> None:
    assert parse_chord(text) == NO_CHORD


def test_a_flat_belongs_to_the_root_before_it_belongs_to_the_fifth() -> None:
    assert write_chord(parse_chord("Ab5")) == "Ab5"
    assert parse_chord("Ab5").root.plain == "Ab"
    assert parse_chord("A(b5)").root.plain == "A"


@pytest.mark.parametrize(
    ("text", "place", "reason"),
    [
        ("", 0, "root"),
        ("   ", 3, "root"),
        ("Xm", 0, "root"),
        ("C7#", 2, "#"),
        ("Cfoo", 1, "f"),
        ("C//E", 2, "bass"),
        ("C/", 2, "bass"),
        ("C7(b9", 5, "closing"),
        ("C7b9)", 4, "bracket"),
        ("C7(b9]", 5, "bracket"),
        ("Am7/D7", 5, "two chords"),
        ("C|D", 1, "two chords"),
        ("D\\C", 1, "two chords"),
        ("Cmm", 2, "second family"),
        ("C77", 2, "second number"),
        ("C3", 1, "6, 7, 9, 11 or 13"),
        ("Cm7b5b", 5, "b"),
        ("dim", 1, "i"),
        ("Cadd", 4, "added"),
        ("Cno", 3, "omitted"),
        ("C7b7", 2, "seventh"),
        ("Cdimaug", 4, "second family"),
        ("C7bbb9", 2, "double flat"),
        ("Cbbbb", 1, "triple flat"),
        ("Cøsus4", 2, "suspension"),
        ("Cm alt", 3, "alt"),
        ("Love me", 0, "root"),
        ("C13 maj", 4, "maj"),
    ],
)
def test_what_is_no_chord_is_refused_with_the_place(text: str, place: int, reason: str) -> None:
    with pytest.raises(ChordSymbolError) as refused:
        parse_chord(text)
    assert refused.value.place == place
    assert reason in refused.value.reason


@given(st.text(alphabet="CABFb#mM79135sudaj+-/()°øΔ .,64no", max_size=10).map("C".__add__) | st.text(max_size=6))
def test_any_text_is_either_read_or_refused_with_a_place_inside_it(text: str) -> None:
    place = 0
    try:
        symbol = parse_chord(text)
    except ChordSymbolError as refused:
        place = refused.place
    else:
        assert parse_chord(write_chord(symbol)) == symbol
    assert 0 <= place <= len(text)


@settings(max_examples=300)
@given(chord_symbols())
def test_a_written_chord_is_read_back_as_itself(symbol: ChordSymbol) -> None:
    assert parse_chord(write_chord(symbol)) == symbol
    assert parse_chord(show_chord(symbol)) == symbol


@pytest.mark.parametrize(
    ("symbol", "shown"),
    [("F#m7b5", "F♯m7♭5"), ("Bb7#9", "B♭7♯9"), ("Caddb9", "Cadd♭9"), ("Ebmaj7/Bb", "E♭maj7/B♭"), ("NC", "N.C.")],
)
def test_the_screen_shows_musical_signs(symbol: str, shown: str) -> None:
    assert show_chord(parse_chord(symbol)) == shown


@pytest.mark.parametrize(
    ("symbol", "spoken"),
    [
        ("C", "C major"),
        ("Em", "E minor"),
        ("A7", "A seven"),
        ("Bbmaj7", "B flat major seven"),
        ("C#m7b5", "C sharp minor seven flat five"),
        ("F/A", "F over A"),
        ("Am/C", "A minor over C"),
        ("D/F#", "D over F sharp"),
        ("Gsus4", "G sus four"),
        ("G7sus4", "G seven sus four"),
        ("Bdim7", "B diminished seven"),
        ("Ebaug", "E flat augmented"),
        ("C6/9", "C six nine"),
        ("Dadd9", "D add nine"),
        ("G7b9", "G seven flat nine"),
        ("G13#11", "G thirteen sharp eleven"),
        ("AmMaj7", "A minor major seven"),
        ("C(#5)", "C major sharp five"),
        ("E7alt", "E seven altered"),
        ("C5", "C five"),
        ("Cno3", "C no third"),
        ("N.C.", "no chord"),
    ],
)
def test_a_chord_is_said_as_a_teacher_says_it(symbol: str, spoken: str) -> None:
    assert spoken_chord(parse_chord(symbol)) == spoken


@settings(max_examples=150)
@given(chord_symbols())
def test_every_chord_can_be_said_in_words_alone(symbol: ChordSymbol) -> None:
    spoken = spoken_chord(symbol)
    assert not any(sign in spoken for sign in "0123456789#♯♭♮𝄫𝄪()/+-  ".replace(" ", ""))
    assert "  " not in spoken
