"""What there is to look at in a lesson, and why, is said whole in the language chosen."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from core.edits.set_words import set_words
from core.session.analysis import analyse_part, song_cautions
from core.session.cut_reasons import cut_reasons
from core.session.embellishment_effect import Effect, effect
from core.session.inspection import inspect_song
from core.session.key_choice import twelve_keys
from core.session.lesson_settings import LessonSettings, Preset
from core.session.song_hands import NoteHand, doubtful_hands, song_hands
from core.session.suggested_reasons import suggestion_reason
from core.song.errors import DomainError
from core.song.hand_profile import HandProfile
from core.song.pitch import Pitch
from core.song.song import Song
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import DEMO_SONGS

SMALL_HANDS = HandProfile(7, 7)
PLAIN_PITCH = re.compile(r"[A-G]b*\d")
"""A pitch in letters that every keyboard has, which a key that does not fit the voice is told with."""


@pytest.fixture(params=tuple(DEMO_SONGS.values()), ids=tuple(DEMO_SONGS))
def song(request: pytest.FixtureRequest) -> Song:
    made: Song = request.param()
    return made


def unsaid(texts: list[str]) -> list[str]:
    assert texts
    return [text for text in texts if words_unsaid(text)]


def test_what_there_is_to_look_at_is_said(song: Song) -> None:
    with open_places():
        for hands in (song.hands, SMALL_HANDS):
            made = replace(song, hands=hands)
            texts = [
                text
                for number in range(1, len(song.parts) + 1)
                for text in (
                    *analyse_part(made, number).to_look_at,
                    *(reason.text for reason in analyse_part(made, number).effort.reasons),
                )
            ]
            texts += [sentence for _, sentence in song_cautions(made)]
            assert unsaid(texts) == []


@pytest.mark.parametrize("kind", ["right_hand", "left_hand", "together"])
def test_own_words_older_than_the_notes_are_said_to_be_so(kind: str, song: Song) -> None:
    own = set_words(song, 1, kind, "…")
    words = tuple(replace(one, review=True) for one in own.part(1).teaching.words)
    own = own.with_part(1, replace(own.part(1), teaching=replace(own.part(1).teaching, words=words)))
    with open_places():
        first = analyse_part(own, 1).to_look_at[0]
        assert first
        assert words_unsaid(first) == []


def test_reasons_for_cuts_are_said(song: Song) -> None:
    with open_places():
        assert unsaid([text for after in range(1, len(song.parts)) for text in cut_reasons(song, after)]) == []


def test_reasons_for_keys_are_said(song: Song) -> None:
    with open_places():
        for lowest, highest in ((None, None), (Pitch.parse("C4"), Pitch.parse("C5"))):
            reasons = [choice.reason for choice in twelve_keys(song, lowest, highest)]
            assert unsaid([PLAIN_PITCH.sub("", reason) for reason in reasons]) == []


def test_what_an_embellishment_costs_is_said(song: Song) -> None:
    with open_places():
        same = effect(song, song, 1)
        assert unsaid([same.sentence, Effect(10.0, 20.0, same.reach).sentence]) == []
        assert unsaid([effect(song, replace(song, hands=SMALL_HANDS), 1).sentence]) == []


def test_doubtful_hands_are_said(song: Song) -> None:
    doubtful = NoteHand(0.0, is_doubtful=True, reason="")
    certain = NoteHand(1.0, is_doubtful=False, reason="")
    with open_places():
        for number, part in enumerate(song.parts, 1):
            count = len(part.notes)
            one = (doubtful, *[certain] * (count - 1))
            texts = [*doubtful_hands(song, number, one), *doubtful_hands(song, number, (doubtful,) * count)]
            assert unsaid(texts) == []
        assert unsaid([hand.reason for part in song_hands(song) for hand in part]) == []


def test_reasons_for_suggested_chords_are_said(song: Song) -> None:
    with open_places():
        for part in song.parts:
            chords = tuple(replace(chord, given=False) for chord in part.chords)
            guessed = replace(part, chords=chords)
            assert unsaid([suggestion_reason(guessed, index) for index in range(len(chords))]) == []


REFUSED: tuple[Callable[[], object], ...] = (
    lambda: LessonSettings(speaking_rate=1.0),
    lambda: LessonSettings(count_in_bars=9),
    lambda: LessonSettings(pause=99.0),
    lambda: LessonSettings(right_hand_times=9),
    lambda: LessonSettings(left_hand_times=9),
    lambda: LessonSettings(together_times=9),
    lambda: LessonSettings(run_through_times=9),
    lambda: LessonSettings(embellishment_times=9),
    lambda: LessonSettings(first_play_percent=1),
    lambda: LessonSettings(last_play_percent=1),
    lambda: LessonSettings(segments=()),
    lambda: Preset("", LessonSettings()),
)


@pytest.mark.parametrize("make", REFUSED)
def test_what_settings_refuse_is_said(make: Callable[[], object]) -> None:
    with open_places():
        with pytest.raises(DomainError) as refused:
            make()
        assert words_unsaid(str(refused.value)) == []


@pytest.mark.parametrize(
    "make",
    [
        lambda: LessonSettings(opening="…"),
        lambda: LessonSettings(segments=("…",)),
        lambda: inspect_song(DEMO_SONGS["night_ferry"](), {"…"}),
    ],
)
def test_names_that_files_go_by_are_listed_as_they_are(make: Callable[[], object]) -> None:
    with open_places():
        with pytest.raises(DomainError) as refused:
            make()
        assert words_unsaid(refused.value.field) == []
