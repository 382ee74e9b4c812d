from __future__ import annotations

from msgspec.structs import replace

from core.edits.set_voicing import set_chord_voicing, set_voicing
from core.edits.split_part import split_part
from core.session.analysis import analyse_part
from core.session.inspection import inspect_song
from core.song.chord import Chord
from core.song.hand_profile import HandProfile
from core.song.part import Part
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.left_hand_movement import movements, part_movement, part_movement_sentence, placement_reasons
from core.teaching.left_hand_voicings import voicings
from core.theory.chord_symbols import parse_chord
from tests.helpers.songs import night_ferry

BAR = 4 * TICKS_PER_QUARTER


def with_chords(text: str, *more: str) -> Song:
    parts = []
    for symbols in (text, *more):
        chords = tuple(Chord(place * BAR, BAR, parse_chord(name)) for place, name in enumerate(symbols.split()))
        parts.append(Part(len(chords) * BAR, chords=chords))
    return Song("Chords", tuple(parts))


def placed(song: Song, number: int) -> list[str]:
    return [" ".join(pitch.plain for pitch in voicing) for voicing in voicings(song, number)]


def test_root_position_is_taken_unless_the_part_asks_for_the_nearest_inversion() -> None:
    song = with_chords("C F G C", "C F")
    assert placed(song, 1) == ["C3 E3 G3", "F3 A3 C4", "G3 B3 D4", "C3 E3 G3"]
    near = set_voicing(song, 1, "nearest")
    assert placed(near, 1)[:2] == ["C3 E3 G3", "C3 F3 A3"]
    assert placed(near, 2) == ["C3 E3 G3", "F3 A3 C4"]
    assert placed(set_voicing(song, None, "nearest"), 2) == ["C3 E3 G3", "C3 F3 A3"]


def test_one_chord_has_a_choice_of_its_own() -> None:
    song = set_chord_voicing(with_chords("C F G C"), 1, 1, "nearest")
    assert placed(song, 1) == ["C3 E3 G3", "C3 F3 A3", "G3 B3 D4", "C3 E3 G3"]
    back = set_chord_voicing(set_voicing(song, 1, "nearest"), 1, 1, "root")
    assert placed(back, 1)[1] == "F3 A3 C4"
    assert set_chord_voicing(song, 1, 1, None) == with_chords("C F G C")


def test_a_parts_first_chord_comes_near_the_part_before_where_it_is_asked_to_itself() -> None:
    song = set_chord_voicing(with_chords("C", "F C"), 2, 0, "nearest")
    assert placed(song, 2) == ["C3 F3 A3", "C3 E3 G3"]
    assert movements(song, 2)[0] is not None


def test_a_chord_held_over_a_cut_is_held_in_its_inversion() -> None:
    song = split_part(set_voicing(with_chords("C F F"), 1, "nearest"), 1, 2 * BAR - BAR // 2)
    assert placed(song, 1) == ["C3 E3 G3", "C3 F3 A3"]
    assert placed(song, 2)[0] == "C3 F3 A3"
    earlier = set_voicing(song, 1, "root")
    assert placed(earlier, 2)[0] == "F3 A3 C4"


def test_an_analysis_follows_the_part_before_where_its_first_chord_does() -> None:
    song = set_chord_voicing(with_chords("C", "F C"), 2, 0, "nearest")
    before = analyse_part(song, 2)
    assert analyse_part(song, 2) is before
    moved = song.with_part(1, with_chords("A").part(1))
    assert analyse_part(moved, 2).voicings != before.voicings


def test_movement_says_what_is_kept_and_what_the_other_style_would_do() -> None:
    song = with_chords("C F N.C. C")
    first, second, rest, last = movements(song, 1)
    assert first is None
    assert rest is None
    assert second is not None
    assert (second.moved, second.otherwise, [name.plain for name in second.kept]) == (15, 3, [])
    assert second.sentence == "The nearest inversion would move 3 semitones instead of 15."
    assert last is not None
    near = movements(set_voicing(song, 1, "nearest"), 1)[1]
    assert near is not None
    assert (near.moved, near.otherwise, [name.plain for name in near.kept]) == (3, 15, ["C"])
    assert near.sentence == "Root position would move 15 semitones instead of 3."


def test_what_is_promised_for_the_nearest_inversion_is_what_it_moves() -> None:
    song = with_chords("C F G Am D7 Bb", "Em A")
    for number, part in enumerate(song.parts, 1):
        for index, way in enumerate(movements(song, number)):
            if way is not None:
                asked = movements(set_chord_voicing(song, number, index, "nearest"), number)[index]
                assert asked is not None
                assert asked.moved == way.otherwise, (number, part.chords[index])


def test_the_effect_on_a_part_is_a_sentence() -> None:
    song = with_chords("C F G C")
    moved = part_movement(song, 1)
    assert moved["nearest"] < moved["root"]
    assert part_movement_sentence(song, 1) == (
        f"Nearest inversions move the left hand {moved['nearest']} semitones here, root position {moved['root']}."
    )
    assert part_movement_sentence(with_chords("C"), 1) == ""


def test_each_placement_has_a_reason() -> None:
    song = set_voicing(with_chords("C F C/E C13 N.C. G"), 1, "nearest")
    reasons = placement_reasons(song, 1)
    assert reasons[0] == "Root position."
    assert reasons[1] == ("Second inversion; it keeps C and moves 3 semitones where root position would move 15.")
    assert reasons[2].startswith("E is written as the bass")
    assert "without" in reasons[3]
    assert reasons[4] == ""
    small = replace(with_chords("C7"), hands=HandProfile(left_reach=7))
    assert placement_reasons(small, 1) == ("Third inversion; without G, since the hand reaches 7 semitones.",)


def test_inspect_shows_movement_and_reason() -> None:
    chords = inspect_song(night_ferry(), ["chords"])["chords"]
    assert isinstance(chords, list)
    assert "movement" not in chords[0]
    assert chords[1]["movement"]["moved"] == 16
    assert chords[1]["movement"]["kept"] == []
    assert chords[1]["movement"]["nearest"] == 4
    assert chords[1]["reason"] == "Root position."
