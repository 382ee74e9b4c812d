"""Every refusal of an edit can be said in another language."""

from collections.abc import Callable, Sequence

import pytest

from core.arranging.catalogue import PATTERNS
from core.arranging.melody_rhythm import RHYTHMS, MelodyRhythm
from core.arranging.patterns import LeftHandPattern
from core.arranging.right_hand import HARMONIES, RightHandHarmony
from core.edits.add_chord import add_chord
from core.edits.add_note import add_note
from core.edits.change_length import remove_bar
from core.edits.chosen_notes import by_part
from core.edits.copy_notes import phrase_of, push_phrase, put_phrase
from core.edits.join_parts import join_parts
from core.edits.move_chord import move_chord
from core.edits.move_cut import move_cut
from core.edits.own_patterns import remove_pattern
from core.edits.part_contents import the_chord, the_note, the_part
from core.edits.recut import recut
from core.edits.remove_note import remove_note
from core.edits.resize_note import resize_note
from core.edits.set_aside import add_aside, move_aside, set_aside
from core.edits.set_facts import set_tempo, set_title
from core.edits.set_finger import set_finger
from core.edits.set_note_hand import set_note_hand
from core.edits.set_ornament import set_ornament
from core.edits.set_right_hand_line import set_right_hand_line
from core.edits.set_teaching import set_harmony, set_pattern, set_rhythm, set_taught, set_teaching_tempo
from core.edits.set_voicing import set_voicing
from core.edits.set_words import set_words
from core.edits.split_part import split_part
from core.edits.transpose_notes import transpose_notes
from core.song.errors import EditError, NoteTextError
from core.song.note import TURN, Hand
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.wording import speak
from core.theory.chord_symbols import parse_chord
from tests.helpers.marked_language import MarkedLanguage
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import night_ferry

AWAY = 10**9
REFUSED: tuple[Callable[[Song], object], ...] = (
    lambda song: add_chord(song, 1, AWAY, 1, parse_chord("D")),
    lambda song: add_chord(song, 1, 0, 1, parse_chord("D")),
    lambda song: add_note(song, 1, AWAY, 1, Pitch("C", 0, 4)),
    lambda song: add_note(song, 1, 1, 0, Pitch("C", 0, 4)),
    lambda song: add_note(song, 1, 0, 1, Pitch("C", 1, 4)),
    lambda song: remove_bar(song, 1),
    lambda song: by_part(song, ()),
    lambda song: put_phrase(song, AWAY, phrase_of(song, ((1, 0),))),
    lambda song: push_phrase(song, AWAY, phrase_of(song, ((1, 0),))),
    lambda song: push_phrase(song, 0, phrase_of(song, ((1, 0), (1, 1)))),
    lambda song: join_parts(song, 3),
    lambda song: move_chord(song, 1, 0, AWAY),
    lambda song: move_cut(song, 1, AWAY),
    lambda song: move_cut(song, 3, 1),
    lambda song: remove_pattern(song, "7"),
    lambda song: the_part(song, 9),
    lambda song: the_note(song, 1, 99),
    lambda song: the_chord(song, 1, 99),
    lambda song: recut(song, (AWAY,)),
    lambda song: resize_note(song, 1, 0, 0),
    lambda song: add_aside(song, 1, AWAY, "Ah."),
    lambda song: add_aside(song, 1, 0, " "),
    lambda song: add_aside(song, 1, 0, "Ah" * 1000),
    lambda song: set_aside(song, 1, 0, "Ah."),
    lambda song: move_aside(add_aside(song, 1, 0, "Ah."), 1, 0, AWAY),
    lambda song: set_title(song, " "),
    lambda song: set_tempo(song, 9000),
    lambda song: set_finger(song, 1, 0, 6),
    lambda song: set_note_hand(song, ((1, 0),), Hand.LEFT),
    lambda song: set_ornament(set_right_hand_line(song, 1, "C:1/4"), 1, 0, TURN),
    lambda song: set_taught(set_taught(set_taught(song, 1, False), 2, False), 3, False),
    lambda song: set_teaching_tempo(song, 1, 1),
    lambda song: set_voicing(song, 1, "7"),
    lambda song: set_words(song, 1, "7", "Ah."),
    lambda song: split_part(song, 1, 0),
    lambda song: transpose_notes(song, ((1, 0),), steps=70),
)
TYPED = ("3", "#C", "x", "C:", "C:0", "- C", "C | D", "C:900 D", "C,,,,,,,")
"""Lines of notes that cannot be read, each for another reason."""


@pytest.mark.parametrize("edit", REFUSED)
def test_a_refusal_is_said(edit: Callable[[Song], object]) -> None:
    song = night_ferry()
    with open_places():
        with pytest.raises(EditError) as refused:
            edit(song)
        assert words_unsaid(str(refused.value)) == []


@pytest.mark.parametrize("line", TYPED)
def test_why_a_typed_line_cannot_be_read_is_said(line: str) -> None:
    song = night_ferry()
    with open_places():
        with pytest.raises(NoteTextError) as refused:
            set_right_hand_line(song, 1, line)
        assert words_unsaid(refused.value.reason) == []


@pytest.mark.parametrize(
    ("choose", "known"), [(set_pattern, PATTERNS), (set_harmony, HARMONIES), (set_rhythm, RHYTHMS)]
)
def test_only_the_names_that_files_go_by_are_left_as_they_are(
    choose: Callable[[Song, int, str], Song], known: Sequence[LeftHandPattern | RightHandHarmony | MelodyRhythm]
) -> None:
    song = night_ferry()
    with open_places():
        with pytest.raises(EditError) as refused:
            choose(song, 1, "7")
        assert words_unsaid(str(refused.value)) == words_unsaid(", ".join(one.name for one in known))


class German(MarkedLanguage):
    """Has the words by which parts are named."""

    def pgettext(self, _context: str, message: str, /) -> str:
        return {"part": "Teil", "parts": "Teile", "to": "bis", "and": "und"}.get(message, message)


@pytest.mark.parametrize(
    ("text", "marked"),
    [
        ("Wie in Teil 1.", True),
        ("Teile 1 bis 3.", True),
        ("Teile 3 und 1.", True),
        ("As in part 1.", True),
        ("1.", False),
    ],
)
def test_own_words_in_the_language_chosen_are_marked_where_the_part_they_speak_of_changes(
    text: str, marked: bool
) -> None:
    song = set_words(night_ferry(), 2, "together", text)
    speak(German())
    try:
        after = remove_note(song, 1, 0)
    finally:
        speak(None)
    assert [own.review for own in after.part(2).teaching.words] == [marked]
    assert [own.review for own in remove_note(song, 1, 0).part(2).teaching.words] == [text == "As in part 1."]
