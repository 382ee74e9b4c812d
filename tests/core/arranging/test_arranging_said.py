"""What is said of patterns, harmony, ornaments, levels and frames can be said in another language."""

import pytest
from msgspec.structs import replace

from core.arranging.catalogue import PATTERNS
from core.arranging.embellished import embellished
from core.arranging.embellishments import EMBELLISHMENTS, OWN, embellishment_in, embellishment_named
from core.arranging.in_reach import REMARKS
from core.arranging.introductions import introduction
from core.arranging.left_hand import left_hand_remarks, pattern_named
from core.arranging.levels import ladder
from core.arranging.melody_rhythm import RHYTHMS, rhythm_named
from core.arranging.ornaments import ORNAMENTS, ornament_words
from core.arranging.right_hand import HARMONIES, harmony_named
from core.edits.own_patterns import keep_pattern
from core.edits.set_hands import set_hands
from core.edits.set_ornament import set_ornament
from core.edits.set_teaching import set_pedal
from core.edits.transpose_notes import transpose_notes
from core.song.errors import DomainError
from core.song.metre import Metre
from core.song.note import Hand
from core.song.pattern_grid import Grid, OwnPattern
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import night_ferry

METRES = (Metre(4, 4), Metre(3, 4), Metre(5, 4), Metre(6, 8))
NAMES_OF_NOTES = {"sharp", "flat"}
"""What stands in for the notes themselves."""
FIGURES = ("R", "R -", "R - - 5", "L H M H", "R+5 - U C", "10 8 5_ .", "R . . U", "R+8 - - - R - - -")


def test_english_is_the_text_itself() -> None:
    for one in (*PATTERNS, *HARMONIES, *RHYTHMS):
        assert (one.title, one.words) == (one.title_text, one.words_text)


def test_every_pattern_harmony_rhythm_and_ornament_is_said_when_it_is_asked_for() -> None:
    with open_places():
        for one in (*PATTERNS, *HARMONIES, *RHYTHMS):
            assert one.title == f"⟦{one.title_text}⟧"
            assert words_unsaid(one.words) == []
        for ornament in ORNAMENTS:
            assert ornament.title == f"⟦{ornament.title_text}⟧"
        for embellishment in EMBELLISHMENTS:
            assert words_unsaid(embellishment.title) == []
            assert words_unsaid(embellishment.words_in(Metre(4, 4))) == []


@pytest.mark.parametrize("metre", METRES, ids=str)
def test_what_a_pattern_strikes_in_a_metre_is_said(metre: Metre) -> None:
    with open_places():
        for pattern in PATTERNS:
            assert words_unsaid(pattern.words_in(metre)) == []


@pytest.mark.parametrize("figure", FIGURES)
def test_a_pattern_of_ones_own_is_said_and_its_name_is_left_as_it_is(figure: str) -> None:
    song = keep_pattern(night_ferry(), OwnPattern("Rocking", (Grid.parse(figure, 2 if len(figure) > 1 else 1),)))
    with open_places():
        own = embellishment_in(song, f"{OWN}Rocking")
        assert own is not None
        assert own.title == "Rocking"
        assert words_unsaid(own.words_in(song.metre)) == []
        assert words_unsaid(embellishment_named(f"{OWN}Rocking").words_in(song.metre)) == ["Rocking"]


def test_what_is_chosen_for_a_part_is_said() -> None:
    song = set_pedal(night_ferry(), 1, True)
    for place, ornament in enumerate(ORNAMENTS):
        song = set_ornament(song, place + 1, 0, ornament.name)
    with open_places():
        for number in range(1, len(song.parts) + 1):
            assert len(ornament_words(song, number)) == 1
            made = embellished(song, number, pattern="broken", harmony="sixths", rhythm="early")
            assert len(made.words) >= 4
            assert set(words_unsaid(" ".join(made.words))) <= NAMES_OF_NOTES


def test_what_a_small_hand_takes_otherwise_is_said() -> None:
    song = set_hands(night_ferry(), Hand.LEFT, 7)
    every = tuple((number, index) for number, part in enumerate(song.parts, 1) for index in range(len(part.notes)))
    song = transpose_notes(song, every, semitones=-12)
    with open_places():
        remarks = [
            remark
            for pattern in PATTERNS
            for number in range(1, len(song.parts) + 1)
            for _, remark in left_hand_remarks(song, number, pattern.name)
        ]
        told = [text for text in REMARKS.values() if any(text in remark for remark in remarks)]
        assert len(told) == 2
        assert words_unsaid(" ".join(remarks)) == []


def test_the_steps_of_a_ladder_are_said() -> None:
    with open_places():
        titles = [level.title for level in ladder(night_ferry(), 1)]
        assert len(titles) > 2
        assert words_unsaid(" ".join(titles)) == []


def test_what_is_refused_is_said_but_for_the_names_that_files_go_by() -> None:
    song = night_ferry()
    with open_places():
        for named, names in (
            (pattern_named, PATTERNS),
            (harmony_named, HARMONIES),
            (rhythm_named, RHYTHMS),
            (embellishment_named, EMBELLISHMENTS),
        ):
            with pytest.raises(DomainError) as refused:
                named("7")
            assert words_unsaid(refused.value.field) == []
            assert words_unsaid(refused.value.expected) == words_unsaid(", ".join(one.name for one in names))
        silent = replace(song, parts=tuple(replace(part, chords=()) for part in song.parts))
        for given, bars in ((song, 3), (silent, 2)):
            with pytest.raises(DomainError) as refused:
                introduction(given, bars)
            assert words_unsaid(f"{refused.value.field} {refused.value.expected}") == []
