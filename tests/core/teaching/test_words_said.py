"""The words for a part, and how parts resemble one another, are said whole in the language chosen."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings

from core.song.pitch import LETTERS, NoteName, Pitch
from core.song.song import Song
from core.teaching.counting import counting_sentence
from core.teaching.difference_words import difference_words
from core.teaching.directions import COMPUTED_WORDS, computed_words
from core.teaching.keyboard_places import placed_name
from core.teaching.left_hand_movement import movements, part_movement_sentence, placement_reasons
from core.teaching.naming import Names, Naming
from core.teaching.number_words import BEAT, COUNT, beats_words, listed, number_word, ordinal_word, times_word
from core.teaching.resemblance import compared
from core.teaching.sentences import Phrase, joined, sentence
from core.teaching.spoken_intervals import SpokenInterval
from tests.helpers.drawn_songs import any_song, drawn_song, hard_songs, part
from tests.helpers.marked_language import speaking
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import DEMO_SONGS
from tests.helpers.two_hands import two_hand_song, written_left_hands

TITLES = [*DEMO_SONGS, *(song.title for song in hard_songs() if song.part(1).melody)]
GERMAN_NAME = re.compile(r"[A-H](?:is|es|s)*(?:as|es)?")
SYLLABLES = {"Do", "Re", "Mi", "Fa", "Sol", "La", "Si"}
TUNE = "C4:1 E4:1 G4:1 E4:0.5 D4:0.5 F4:1 A4:1 C5:2"
TUNES = {
    "again": TUNE,
    "higher": "D4:1 F4:1 A4:1 F4:0.5 E4:0.5 G4:1 B4:1 D5:2",
    "octave lower": "C3:1 E3:1 G3:1 E3:0.5 D3:0.5 F3:1 A3:1 C4:2",
    "two octaves higher": "C6:1 E6:1 G6:1 E6:0.5 D6:0.5 F6:1 A6:1 C7:2",
    "one note": "C4:1 E4:1 G4:1 E4:0.5 D4:0.5 F4:1 B4:1 C5:2",
    "two notes": "C4:1 E4:1 G#4:1 E4:0.5 D4:0.5 F4:1 B4:1 C5:2",
    "shorter": "C4:1 E4:1 G4:1 E4:0.5 D4:0.5 F4:1 A4:1 C5:1 -:1",
    "held otherwise": "C4:0.5 -:0.5 E4:1 G4:1 E4:0.5 D4:0.5 F4:1 A4:0.5 -:0.5 C5:2",
    "pick-up less": "E4:1 G4:1 E4:0.5 D4:0.5 F4:1 A4:1 C5:2 -:1",
    "pick-up more": "B3:0.5 B3:0.5 C4:1 E4:1 G4:1 E4:0.5 D4:0.5 F4:1 A4:1 C5:2 -:7",
    "new ending": "C4:1 E4:1 G4:1 E4:0.5 D4:0.5 F4:1 G4:0.5 E4:0.5 D4:0.5 C4:1.5",
    "beginning": "C4:1 E4:1 G4:1 E4:0.5 D4:0.5 -:4",
    "same ending": "F4:0.5 D4:0.5 G3:1 A3:1 E4:0.5 D4:0.5 F4:1 A4:1 C5:2",
    "shape": "C4:1 D4:1 E4:1 D4:0.5 C4:0.5 G4:1 A4:1 B4:2",
    "chords": "C4:4 D4:2 E4:2",
    "rhythm": "G4:1 E4:1 C4:1 E4:0.5 C4:0.5 G4:1 C4:1 E4:2",
}
"""Lines that resemble the first one, each in its own way."""


def unsaid(texts: list[str]) -> list[str]:
    """The texts with a word that was never said and is no note's name."""
    assert any(texts)
    return [
        text
        for text in texts
        if any(word not in SYLLABLES and not GERMAN_NAME.fullmatch(word) for word in words_unsaid(text))
    ]


def song_called(title: str) -> Song:
    """A song made anew, so that nothing that was said of it is known."""
    if title in DEMO_SONGS:
        return DEMO_SONGS[title]()
    return next(song for song in hard_songs() if song.title == title)


def words_of(song: Song, naming: Naming) -> list[str]:
    return [
        computed_words(song, number, kind, naming)
        for number in range(1, len(song.parts) + 1)
        for kind in COMPUTED_WORDS
    ]


@pytest.mark.parametrize("naming", Naming)
@pytest.mark.parametrize("title", TITLES)
def test_words_for_both_hands_are_said_in_every_way_of_naming(title: str, naming: Naming) -> None:
    with open_places():
        assert unsaid(words_of(song_called(title), naming)) == []


@pytest.mark.parametrize("naming", Naming)
def test_words_for_a_left_hand_that_is_written_out_are_said(naming: Naming) -> None:
    with open_places():
        texts = [text for each in written_left_hands() for text in words_of(two_hand_song(each), naming)]
        assert unsaid(texts) == []


@settings(max_examples=40, deadline=None)
@given(any_song())
def test_words_of_any_song_are_said(song: Song) -> None:
    with open_places():
        assert unsaid([*words_of(song, Naming.LETTERS), "⟦⟧"]) == []


@pytest.mark.parametrize(
    ("name", "harmony"), [*((name, "C:4 G7:4") for name in TUNES), *((name, "") for name in TUNES if name != "chords")]
)
def test_how_parts_resemble_one_another_is_said(name: str, harmony: str) -> None:
    line = TUNES[name]
    with open_places():
        song = drawn_song("Tune", "C major", "4/4", part(TUNE, "C:4 G7:4"), part(line, harmony))
        found = compared(song, 2, 1)
        assert found is not None
        texts = [found.sentence, found.lead]
        texts += [difference_words(song, 2, kind, found) or "" for kind in COMPUTED_WORDS]
        assert unsaid(texts) == []


def test_a_last_note_that_is_longer_is_said_to_be() -> None:
    with open_places():
        song = drawn_song("Tune", "C major", "4/4", part(TUNES["shorter"]), part(TUNE))
        found = compared(song, 2, 1)
        assert found is not None
        assert found.tells_last_length
        assert unsaid([found.sentence]) == []


@pytest.mark.parametrize("title", DEMO_SONGS)
def test_how_the_left_hand_moves_is_said(title: str) -> None:
    with open_places():
        song = DEMO_SONGS[title]()
        texts: list[str] = []
        for number in range(1, len(song.parts) + 1):
            texts += placement_reasons(song, number)
            texts += [way.sentence for way in movements(song, number) if way is not None]
            texts.append(part_movement_sentence(song, number))
            texts.append(counting_sentence(song.metre))
        assert unsaid(texts) == []


def test_numbers_lengths_intervals_and_places_are_said() -> None:
    beats = [Fraction(count, 12) for count in range(1, 60)]
    with open_places():
        texts = [said(number) for number in range(1, 25) for said in (number_word, ordinal_word, times_word)]
        texts += [beats_words(length, noun) for length in beats for noun in (BEAT, COUNT)]
        texts += [SpokenInterval.of_letters(steps).said for steps in range(1, 30)]
        texts += [SpokenInterval.between(0, semitones).said for semitones in (1, 2, 3)]
        names = [NoteName(letter, alteration) for letter in LETTERS for alteration in range(-3, 4)]
        texts += [Names(naming).said(name) for naming in Naming for name in names]
        texts += [placed_name(Pitch.parse(name), Names(naming)) for naming in Naming for name in ("C4", "E6", "Bb2")]
        assert unsaid([re.sub(r"\d+(?:st|nd|rd|th)", "", text) for text in texts]) == []


class BackToFront:
    """A language that has the length before the notes, three forms of a number and a list of its own."""

    def gettext(self, message: str, /) -> str:
        return {
            "{notes} for {length}": "{length} lang {notes}",
            "{before} and {last}": "{before} sowie {last}",
            "{before}, {word}": "{before} + {word}",
            "{sentence}.": "{sentence}!",
            "{before}; {phrase}": "{before} / {phrase}",
        }.get(message, message)

    def pgettext(self, _context: str, message: str, /) -> str:
        return {"third": "dritte", "a third": "Terz"}.get(message, message)

    def ngettext(self, _one: str, many: str, n: int, /) -> str:
        if many == "{number} beats":
            return ("{count} doba", "{count} doby", "{count} dob")[0 if n == 1 else 1 if n < 5 else 2]
        return many


def test_a_language_may_build_lengths_lists_and_sentences_in_its_own_way() -> None:
    with speaking(BackToFront()):
        assert [beats_words(Fraction(beats)) for beats in (1, 3, 5)] == ["1 doba", "3 doby", "5 dob"]
        assert listed(["E", "G", "B"]) == "E + G sowie B"
        assert (ordinal_word(3), SpokenInterval.of_letters(2).said) == ("dritte", "Terz")
        assert sentence(joined([Phrase("up by step: E, F", lists=True), Phrase("then G")])) == (
            "Up by step: E, F / then G!"
        )
        song = drawn_song("Tune", "C major", "4/4", part("C4:1 D4:1 E4:1 G4:2"))
        assert computed_words(song, 1, "right_hand").endswith("Up Terz to G and hold it for 2 doby!")
        song = drawn_song("Tune", "C major", "4/4", part("C4:3 A4:1 D5:1"))
        assert computed_words(song, 1, "right_hand").startswith("3 doby lang Start on the C in the middle")


def test_a_phrase_that_lists_notes_has_a_semicolon_beside_it_whatever_its_words_are() -> None:
    phrases = [Phrase("up to E"), Phrase("up to each of them"), Phrase("listing", lists=True), Phrase("then: G")]
    assert joined(phrases) == "up to E, up to each of them; listing; then: G"
