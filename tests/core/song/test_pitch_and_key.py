import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.song.errors import DomainError
from core.song.key import Key, Mode
from core.song.pitch import MIDDLE_C, NoteName, Pitch


def test_middle_c_is_key_sixty() -> None:
    assert MIDDLE_C.midi == 60
    assert Pitch.parse("A4").midi == 69


def test_one_key_of_the_keyboard_has_several_names() -> None:
    assert Pitch.parse("Db4").midi == Pitch.parse("C#4").midi == 61
    assert Pitch.parse("Db4") != Pitch.parse("C#4")
    assert Pitch.parse("Cb4").midi == 59
    assert Pitch.parse("B#3").midi == 60


@given(st.integers(0, 127), st.integers(-20, 20))
def test_a_named_pitch_lies_on_its_key_or_is_refused(midi: int, fifths: int) -> None:
    name = NoteName.at_fifths(fifths)
    if name.pitch_class == midi % 12:
        pitch = Pitch.named(name, midi)
        assert pitch.midi == midi
        assert Pitch.parse(pitch.plain) == pitch
    else:
        with pytest.raises(DomainError):
            Pitch.named(name, midi)


@given(st.integers(-22, 26))
def test_the_line_of_fifths_goes_both_ways(fifths: int) -> None:
    assert NoteName.at_fifths(fifths).fifths == fifths


@pytest.mark.parametrize("text", ["", "H4", "E", "Ebbbb4", "C11", "e flat 4", "4E"])
def test_what_is_no_pitch_is_refused_by_name(text: str) -> None:
    with pytest.raises(DomainError) as refusal:
        Pitch.parse(text)
    assert "pitch" in str(refusal.value) or "alteration" in str(refusal.value)


@pytest.mark.parametrize(
    ("key", "fifths", "scale"),
    [
        ("E dorian", 2, "E F# G A B C# D"),
        ("Ab major", -4, "Ab Bb C Db Eb F G"),
        ("C# minor", 4, "C# D# E F# G# A B"),
        ("Ab minor", -7, "Ab Bb Cb Db Eb Fb Gb"),
        ("B locrian", 0, "B C D E F G A"),
        ("F lydian", 0, "F G A B C D E"),
        ("G phrygian", -3, "G Ab Bb C D Eb F"),
        ("D mixolydian", 1, "D E F# G A B C"),
    ],
)
def test_keys_have_their_signatures_and_scales(key: str, fifths: int, scale: str) -> None:
    read = Key.parse(key)
    assert read.fifths == fifths
    assert " ".join(name.plain for name in read.scale) == scale
    assert Key.of_signature(fifths, read.mode) == read


def test_old_names_of_modes_are_read() -> None:
    assert Mode.parse("Ionian") is Mode.MAJOR
    assert Mode.parse("aeolian") is Mode.MINOR


def test_names_are_shown_and_spoken() -> None:
    assert NoteName.parse("Bbb").symbol == "B𝄫"
    assert NoteName.parse("Eb").spoken == "E flat"
    assert Key.parse("E dorian").symbol == "E Dorian"
    assert Key.parse("Ab major").spoken == "A flat major"
