"""What is wrong with a value, and what notes and keys are called, is said whole in the language chosen."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from core.song.chord import Chord, ChordSymbol, Degree, Quality
from core.song.errors import BrokenFileError, ChordSymbolError, DomainError, NoteTextError, PhrasebenchError
from core.song.hand_profile import HandProfile
from core.song.key import Key, KeyChange, Mode
from core.song.metre import Metre, bar_at
from core.song.note import Note
from core.song.part import Aside, Part, Teaching
from core.song.pattern_grid import Grid, OwnPattern, Stroke
from core.song.phrase import Phrase, check_phrases
from core.song.pitch import NoteName, Pitch, altered_degree
from core.song.song import C_MAJOR, Song
from core.song.standing import Standing
from core.song.tempo import TempoChange
from tests.helpers.open_places import open_places, words_unsaid

C = NoteName("C")
C4 = Pitch.parse("C4")
TRIAD = ChordSymbol(C)
PART = Part(100)
SONG = Song("", (PART,))
STROKE = Stroke(0, 1, ("R",))
GRID = Grid(1, 1, (STROKE,))
PHRASE = Phrase("opening", "…")

REFUSED: tuple[Callable[[], object], ...] = (
    lambda: Degree(0),
    lambda: Degree(1, 9),
    lambda: ChordSymbol(C, extension=8),
    *(
        lambda quality=quality: ChordSymbol(C, quality)
        for quality in (Quality.DOMINANT, Quality.HALF_DIMINISHED, Quality.MINOR_MAJOR)
    ),
    lambda: ChordSymbol(C, Quality.POWER, 7),
    lambda: ChordSymbol(C, omitted=(99,)),
    lambda: Chord(-1, 1, TRIAD),
    lambda: Chord(0, 0, TRIAD),
    lambda: HandProfile(1, 12),
    lambda: HandProfile(12, 1),
    lambda: Metre(0),
    lambda: Metre(4, 3),
    lambda: Metre.parse("4"),
    lambda: bar_at((), 0),
    lambda: Note(-1, 1, C4),
    lambda: Note(0, -1, C4),
    lambda: Note(0, 1, C4, finger=9),
    lambda: Part(0),
    lambda: Part(9, (Note(5, 1, C4), Note(0, 1, C4))),
    lambda: Part(9, (Note(9, 1, C4),)),
    lambda: Part(9, chords=(Chord(0, 5, TRIAD), Chord(4, 1, TRIAD))),
    lambda: Part(9, chords=(Chord(0, 10, TRIAD),)),
    lambda: Part(9, asides=(Aside(9, "…"),)),
    lambda: Grid(0, 1, (STROKE,)),
    lambda: Grid(1, 0, (STROKE,)),
    lambda: Grid(1, 1, ()),
    lambda: Grid(1, 1, (Stroke(0, 2, ("R",)),)),
    lambda: Grid(2, 1, (Stroke(0, 2, ("R",)), Stroke(1, 1, ("R",)))),
    lambda: Grid(1, 1, (Stroke(0, 1, ("?",)),)),
    lambda: Grid.parse("R R R", 2),
    lambda: Grid.parse("- R"),
    lambda: OwnPattern("", (GRID,)),
    lambda: OwnPattern("1", ()),
    lambda: Phrase("opening", ""),
    lambda: NoteName("H"),
    lambda: NoteName("C", 9),
    lambda: NoteName.parse("?"),
    lambda: Pitch("H", 0, 4),
    lambda: Pitch("C", 9, 4),
    lambda: Pitch("C", 0, 99),
    lambda: Pitch.parse("?"),
    lambda: Pitch.named(C, 61),
    lambda: Song("", ()),
    lambda: Song("", (PART,), keys=(KeyChange(9, C_MAJOR),)),
    lambda: Song("", (PART,), metres=()),
    lambda: Song("", (PART,), tempos=()),
    lambda: Song("", (PART,), pickup=-1),
    lambda: Song("", (PART,), patterns=(OwnPattern("1", (GRID,)), OwnPattern("1", (GRID,)))),
    lambda: Song("", (PART,), playing_order=(2,)),
    lambda: SONG.part(2),
    lambda: SONG.with_part(1, Part(101)),
    lambda: Standing(asked_on="?"),
    lambda: TempoChange(0, 1.0),
)

NAMES_OF_FILES: tuple[Callable[[], object], ...] = (
    lambda: ChordSymbol(C, alterations=(Degree(9, 0),)),
    lambda: Chord(0, 1, TRIAD, voicing="?"),
    lambda: Key.parse("C ?"),
    lambda: Note(0, 1, C4, ornament="?"),
    lambda: Teaching(voicing="?"),
    lambda: Phrase("?", "…"),
    lambda: Phrase("opening", "‹?›"),
    lambda: check_phrases((PHRASE, PHRASE)),
    lambda: Standing("?"),
)
"""These list names that files and programs go by, which are the same in every language."""


@pytest.mark.parametrize("make", REFUSED)
def test_a_value_out_of_range_is_refused_in_words_that_are_said(make: Callable[[], object]) -> None:
    with open_places():
        with pytest.raises(DomainError) as refused:
            make()
        assert words_unsaid(str(refused.value)) == []


@pytest.mark.parametrize("make", NAMES_OF_FILES)
def test_what_a_value_is_called_is_said_where_names_of_files_are_listed(make: Callable[[], object]) -> None:
    with open_places():
        with pytest.raises(DomainError) as refused:
            make()
        assert words_unsaid(refused.value.field) == []


def test_an_error_says_its_sentence_around_what_it_is_given() -> None:
    with open_places():
        errors: tuple[PhrasebenchError, ...] = (
            DomainError("1", 2, "3"),
            ChordSymbolError("?", 0, "1"),
            NoteTextError("?", 0, "1"),
            BrokenFileError("1", "2", "3", "4"),
            BrokenFileError("1", "", "3", "4"),
        )
        assert [str(error) for error in errors if words_unsaid(str(error))] == []


def test_notes_degrees_and_keys_are_said() -> None:
    with open_places():
        names = [NoteName("E", alteration).spoken for alteration in range(-3, 4)]
        names += [altered_degree("3", alteration) for alteration in range(-3, 4)]
        names += [text for mode in Mode for text in (Key(C, mode).spoken, Key(C, mode).symbol, mode.said)]
        assert [name for name in names if words_unsaid(name)] == []


def test_what_files_hold_is_the_same_in_every_language() -> None:
    with open_places():
        assert [Key(C, mode).plain for mode in Mode] == [f"C {mode.value}" for mode in Mode]
        assert (NoteName("E", -1).plain, NoteName("E", -1).symbol) == ("Eb", "E♭")
