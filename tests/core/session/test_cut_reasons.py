"""Why a cut lies where it does, and what speaks against it."""

from msgspec.structs import replace

from core.session.cut_reasons import cut_reasons
from core.song.song import Song
from tests.helpers.drawn_songs import drawn_song, part


def reasons(before: str, behind: str, *, pickup: float = 0) -> tuple[str, ...]:
    return cut_reasons(drawn_song("Cut", "C major", "4/4", part(before), part(behind), pickup=pickup), 1)


def test_a_rest_before_it_is_told_in_beats() -> None:
    assert reasons("C4 D4 E4 -", "G4:4") == ("The right hand rests for one beat before it.",)
    assert reasons("C4 D4:0.5 -:2.5", "G4:4") == ("The right hand rests for two beats and a half before it.",)
    assert reasons("C4 D4 E4 F4:0.5 -:0.5", "G4:4") == ("The right hand rests for half a beat before it.",)


def test_a_held_note_before_it_is_told() -> None:
    assert reasons("C4 D4 E4:2", "G4:4") == ("The right hand holds its last note for two beats before it.",)


def test_a_melody_that_runs_on_is_said_to() -> None:
    assert reasons("C4 D4 E4 F4", "G4:4") == ("The right hand runs on over it without a held note or a rest.",)


def test_a_note_that_sounds_over_it_is_told() -> None:
    song = drawn_song("Over", "C major", "4/4", part("C4 D4 E4 F4"), part("G4:4"))
    first = song.part(1)
    last = first.notes[-1]
    longer = replace(first, notes=(*first.notes[:-1], replace(last, duration=2 * last.duration)))
    assert cut_reasons(replace(song, parts=(longer, song.part(2))), 1)[0].startswith("A note sounds on over it")


def test_beginnings_that_are_alike_are_told_also_on_other_steps() -> None:
    told = reasons("C4 D4 E4 F4:5", "D4 E4 F4 G4:5")
    assert "What follows begins as part 1 does." in told
    assert not any("begins as" in one for one in reasons("C4 D4 E4 F4:5", "D4 E4 F4 E4:5"))
    assert not any("begins as" in one for one in reasons("C4 D4 E4", "D4 E4 F4"))


def test_a_cut_inside_a_bar_is_said_to_be() -> None:
    assert "It lies inside a bar: what follows begins with a pick-up." in reasons("C4:2 D4", "E4 F4:4")
    assert not any("inside" in one for one in reasons("C4 D4:4", "E4:4", pickup=1))


def test_a_cut_that_repeats_need_is_said_to_be() -> None:
    song: Song = drawn_song("Again", "C major", "4/4", part("C4:4"), part("D4:4"))
    assert "The song's repeats need it." not in cut_reasons(song, 1)
    assert "The song's repeats need it." in cut_reasons(replace(song, playing_order=(1, 1, 2)), 1)


def test_rests_on_both_sides_are_told() -> None:
    assert reasons("-:4", "-:4") == ("The right hand rests before it.", "The right hand rests behind it.")
