"""Whatever is done to a lesson, in whatever order and with whatever arguments, it stays a lesson."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits.add_chord import add_chord
from core.edits.add_frame import add_ending, add_introduction
from core.edits.add_note import add_note
from core.edits.change_length import add_bar, remove_bar
from core.edits.copy_notes import push_repeat, repeat_notes
from core.edits.join_parts import join_parts
from core.edits.move_chord import move_chord
from core.edits.move_cut import move_cut
from core.edits.move_note import move_note
from core.edits.move_notes import move_notes
from core.edits.note_text import write_line
from core.edits.own_patterns import keep_pattern, remove_pattern
from core.edits.recut import recut
from core.edits.remove_chord import remove_chord
from core.edits.remove_note import remove_note
from core.edits.remove_notes import remove_notes
from core.edits.rename_chord import rename_chord
from core.edits.rename_note import rename_note
from core.edits.resize_note import resize_note
from core.edits.set_aside import add_aside, move_aside, set_aside
from core.edits.set_facts import set_composer, set_section, set_tempo, set_title
from core.edits.set_finger import set_finger
from core.edits.set_hands import set_hands
from core.edits.set_level import make_easier, make_harder
from core.edits.set_note_hand import set_note_hand
from core.edits.set_ornament import set_ornament
from core.edits.set_phrase import set_phrase
from core.edits.set_right_hand_line import set_right_hand_line
from core.edits.set_standing import set_asked, set_rights, set_state
from core.edits.set_teaching import set_harmony, set_pattern, set_pedal, set_rhythm, set_taught, set_teaching_tempo
from core.edits.set_voicing import set_chord_voicing, set_voicing
from core.edits.set_words import set_words
from core.edits.split_part import split_part
from core.edits.transpose import transpose
from core.edits.transpose_notes import transpose_notes
from core.formats.registry import read_song, write_song
from core.session.inspection import inspect_song
from core.session.running_order import running_order
from core.song.errors import EditError, NoteTextError, PlanError
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pattern_grid import OwnPattern
from core.song.song import Song
from core.song.standing import STATES
from tests.helpers.strategies import chord_symbols, grids, note_names, pitches

DEMO_SONGS = Path(__file__).resolve().parents[3] / "demo_songs"
NAMES = ("night_ferry", "lamplighters_waltz", "heron_at_the_sluice")


@cache
def demo(name: str) -> Song:
    """A demo lesson."""
    return read_song(f"{name}.lesson", (DEMO_SONGS / f"{name}.lesson").read_bytes()).song


@dataclass(frozen=True)
class Change:
    """An edit with its arguments, and which of the parts before it may become other objects."""

    edit: Callable[..., Song]
    arguments: tuple[object, ...]
    touches: Callable[[Song, tuple[object, ...]], set[int]]

    def __call__(self, song: Song) -> Song:
        return self.edit(song, *self.arguments)

    def touched(self, song: Song) -> set[int]:
        """Numbers of the parts that it may change."""
        return self.touches(song, self.arguments)


def that_part(_: Song, arguments: tuple[object, ...]) -> set[int]:
    return {int(str(arguments[0]))}


def that_part_and_what_sounds_into_it(song: Song, arguments: tuple[object, ...]) -> set[int]:
    number = int(str(arguments[0]))
    start = song.part_onsets[number - 1]
    return {number} | {
        song.part_at(onset)
        for onset, note in song.placed_notes()
        if note.melody and onset < start < onset + note.duration
    }


def that_part_and_the_next(_: Song, arguments: tuple[object, ...]) -> set[int]:
    number = int(str(arguments[0]))
    return {number, number + 1}


def that_part_and_where_its_chords_go_on(song: Song, arguments: tuple[object, ...]) -> set[int]:
    number = int(str(arguments[0]))
    going_on = {place for place, part in enumerate(song.parts, 1) if part.chords and part.chords[0].continued}
    return {number} | {place for place in going_on if place > number}


def no_part(_: Song, __: tuple[object, ...]) -> set[int]:
    return set()


def every_part(song: Song, _: tuple[object, ...]) -> set[int]:
    return set(range(1, len(song.parts) + 1))


def moved_borders(song: Song, arguments: tuple[object, ...]) -> set[int]:
    """Parts that lie otherwise than a cutting anew asks for."""
    wanted = {0, song.length, *arguments[0]}  # type: ignore[misc]  # arguments of many edits have many types
    borders = enumerate(pairwise([*song.part_onsets, song.length]), 1)
    return {
        number
        for number, (start, end) in borders
        if not {start, end} <= wanted or any(start < tick < end for tick in wanted)
    }


QUARTER = 10_080
numbers = st.integers(1, 3) | st.integers(1, 5) | st.integers(-1, 9)
indices = st.integers(0, 4) | st.integers(0, 8) | st.integers(-2, 40)
moments = st.integers(0, 24).map(lambda eighths: eighths * QUARTER // 2) | st.integers(-3 * QUARTER, 70 * QUARTER)
song_moments = st.integers(1, 61).map(lambda quarters: quarters * QUARTER) | st.integers(-5, 70 * QUARTER)
durations = st.sampled_from((1, 5040, QUARTER, 2 * QUARTER)) | st.integers(-QUARTER, 80 * QUARTER)
tempos = st.floats(5, 600) | st.floats(allow_nan=True, allow_infinity=True)
texts = st.sampled_from(("", " ", "Rain on the pier", "A\nB", "…")) | st.text(max_size=8)
tokens = st.sampled_from(("E", "F#", "c'", "bb,", "A:1/2", "B:3", ".", ".:2", "-", "|", "C:0", "H", "g##"))
lines = st.lists(tokens, max_size=9).map(" ".join) | st.text(max_size=6)
kinds = st.sampled_from(("right_hand", "left_hand", "together", "aside"))
chosen = st.lists(st.tuples(numbers, indices), max_size=4).map(tuple)
patterns = st.sampled_from(("block", "broken", "octaves", "written", "stride"))

Entry = tuple[
    Callable[..., Song], tuple[st.SearchStrategy[object], ...], Callable[[Song, tuple[object, ...]], set[int]]
]
CUTS: tuple[Entry, ...] = (
    (move_cut, (numbers, song_moments), that_part_and_the_next),
    (split_part, (numbers, song_moments), that_part),
    (join_parts, (numbers,), that_part_and_the_next),
    (recut, (st.lists(song_moments, max_size=5),), moved_borders),
)
EDITS: tuple[Entry, ...] = (
    (rename_note, (numbers, indices, note_names | pitches()), that_part),
    (move_note, (numbers, indices, st.none() | moments, st.none() | pitches()), that_part_and_what_sounds_into_it),
    (resize_note, (numbers, indices, durations), that_part),
    (add_note, (numbers, moments, durations, pitches()), that_part_and_what_sounds_into_it),
    (remove_note, (numbers, indices), that_part),
    (set_finger, (numbers, indices, st.none() | st.integers(-1, 7)), that_part),
    (set_right_hand_line, (numbers, lines), that_part_and_what_sounds_into_it),
    (add_chord, (numbers, moments, durations, chord_symbols()), that_part),
    (remove_chord, (numbers, indices), that_part),
    (move_chord, (numbers, indices, moments), that_part),
    (rename_chord, (numbers, indices, chord_symbols()), that_part_and_where_its_chords_go_on),
    (move_notes, (chosen, moments), every_part),
    (transpose_notes, (chosen, st.integers(-9, 9), st.sampled_from((0, 1, -12, 40))), every_part),
    (repeat_notes, (chosen,), every_part),
    (push_repeat, (chosen,), every_part),
    (remove_notes, (chosen,), every_part),
    (set_note_hand, (chosen, st.sampled_from(Hand)), every_part),
    *CUTS,
    (add_bar, (numbers,), that_part_and_the_next),
    (remove_bar, (numbers,), that_part_and_the_next),
    (add_introduction, (st.sampled_from((2, 3, 4)),), no_part),
    (add_ending, (st.sampled_from((2, 4)),), no_part),
    (set_hands, (st.sampled_from(Hand), st.integers(7, 17)), no_part),
    (set_words, (numbers, kinds, st.none() | texts), that_part),
    (add_aside, (numbers, moments, texts, kinds), that_part),
    (set_aside, (numbers, indices, st.none() | texts), that_part),
    (move_aside, (numbers, indices, moments), that_part),
    (set_taught, (numbers, st.booleans()), that_part),
    (set_pattern, (numbers, patterns), that_part),
    (set_voicing, (numbers, st.sampled_from(("root", "nearest", "wide"))), that_part),
    (set_chord_voicing, (numbers, indices, st.sampled_from((None, "root", "nearest"))), that_part),
    (keep_pattern, (st.builds(OwnPattern, st.sampled_from(("stride", "octaves")), st.tuples(grids)),), every_part),
    (remove_pattern, (st.sampled_from(("stride", "octaves")),), every_part),
    (set_harmony, (numbers, st.sampled_from(("none", "thirds", "filled_octaves", "tenths"))), that_part),
    (make_easier, (numbers,), that_part),
    (make_harder, (numbers,), that_part),
    (set_rhythm, (numbers, st.sampled_from(("written", "early", "late", "repeated", "swung"))), that_part),
    (set_pedal, (numbers, st.booleans()), that_part),
    (set_ornament, (numbers, indices, st.sampled_from(("", "grace_above", "turn", "trill"))), that_part),
    (set_teaching_tempo, (numbers, st.none() | tempos), that_part),
    (set_title, (texts,), no_part),
    (
        set_phrase,
        (kinds | st.just("opening"), st.none() | texts | st.sampled_from(("‹title›, ‹words›", "‹aside›"))),
        no_part,
    ),
    (set_section, (texts,), no_part),
    (set_composer, (texts,), no_part),
    (set_tempo, (tempos,), no_part),
    (set_state, (st.sampled_from((*STATES, "finished")),), no_part),
    (set_asked, (texts, st.sampled_from(("", "2026-11-25", "soon"))), no_part),
    (set_rights, (texts, st.booleans()), no_part),
    (transpose, (st.integers(0, 11),), every_part),
)


def changes_by(entries: tuple[Entry, ...]) -> st.SearchStrategy[list[Change]]:
    """Some changes in a row, by some of the edits, with any arguments."""
    change = st.sampled_from(entries).flatmap(
        lambda entry: st.tuples(*entry[1]).map(lambda arguments: Change(entry[0], arguments, entry[2]))
    )
    return st.lists(change, min_size=1, max_size=12)


any_changes = changes_by(EDITS)
cuts = changes_by(CUTS)
demo_names = st.sampled_from(NAMES)


def songs_on_the_way(song: Song, done: list[Change]) -> Iterator[tuple[Song, Change, Song]]:
    """What each change makes of a song; one that is refused leaves it and says why in a sentence."""
    for change in done:
        try:
            after = change(song)
        except (EditError, NoteTextError) as refusal:
            sentence = str(refusal)
            assert sentence.endswith("."), sentence
            assert "\n" not in sentence
            continue
        yield song, change, after
        song = after


def heard(song: Song) -> list[tuple[int, Note]]:
    """Every note of the song as it goes, repeats unfolded, with its onset."""
    notes: list[tuple[int, Note]] = []
    start = 0
    for number in song.playing_order:
        notes.extend((start + note.onset, note) for note in song.part(number).notes)
        start += song.part(number).duration
    return [(onset, Note(0, note.duration, note.pitch, note.hand, melody=note.melody)) for onset, note in notes]


def held(song: Song) -> list[tuple[int, int, object]]:
    """The chords of the written song, whole where a cut divides them: onset, end, symbol."""
    whole: list[tuple[int, int, object]] = []
    for onset, chord in song.placed_chords():
        if chord.continued and whole and whole[-1][1:] == (onset, chord.symbol):
            whole[-1] = (whole[-1][0], onset + chord.duration, chord.symbol)
        else:
            whole.append((onset, onset + chord.duration, chord.symbol))
    return whole


def is_one_line(song: Song) -> bool:
    """Whether one melody note sounds at a time in every part and into the next."""
    line = [(onset, onset + note.duration) for onset, note in song.placed_notes() if note.melody and not note.is_grace]
    return all(end <= following for (_, end), (following, _) in pairwise(line))


@given(demo_names, any_changes)
@settings(max_examples=150, deadline=None)
def test_any_edits_give_a_song_or_are_refused_in_a_sentence(name: str, done: list[Change]) -> None:
    for before, change, after in songs_on_the_way(demo(name), done):
        by_a_bar = change.edit in (add_bar, remove_bar, add_introduction, add_ending)
        assert after.length == before.length or by_a_bar
        assert (after.keys == before.keys) or change.edit is transpose
        assert after.metres == before.metres or by_a_bar
        assert all(part.notes == in_order(part.notes) for part in after.parts)
        assert any(part.teaching.taught for part in after.parts)
        assert is_one_line(after)
        assert all(onset + note.duration <= after.length for onset, note in after.placed_notes())


@given(demo_names, any_changes)
@settings(max_examples=100, deadline=None)
def test_a_part_that_is_not_touched_stays_the_same_object(name: str, done: list[Change]) -> None:
    for before, change, after in songs_on_the_way(demo(name), done):
        left = [part for number, part in enumerate(before.parts, 1) if number not in change.touched(before)]
        kept = {id(part) for part in after.parts}
        assert all(id(part) in kept for part in left), change


@given(demo_names, any_changes)
@settings(max_examples=60, deadline=None)
def test_every_song_on_the_way_is_read_back_from_its_lesson_as_it_was(name: str, done: list[Change]) -> None:
    for _, _, after in songs_on_the_way(demo(name), done):
        assert read_song("a.lesson", write_song("a.lesson", after)).song == after


@given(demo_names, cuts)
@settings(max_examples=80, deadline=None)
def test_no_cut_changes_what_is_heard(name: str, done: list[Change]) -> None:
    for before, _, after in songs_on_the_way(demo(name), done):
        assert heard(after) == heard(before)
        assert held(after) == held(before)


@given(demo_names, any_changes)
@settings(max_examples=25, deadline=None)
def test_whatever_song_comes_of_it_can_be_taught(name: str, done: list[Change]) -> None:
    song = demo(name)
    for _, _, after in songs_on_the_way(song, done):
        song = after
    everything = inspect_song(song)
    assert len(everything["notes"]) == sum(len(part.notes) for part in song.parts)  # type: ignore[arg-type]  # arguments of many edits have many types
    try:
        segments = running_order(song)
    except PlanError:
        assert not any(part.melody for part in song.parts)
    else:
        assert segments[0].kind == "opening"
        assert segments[-1].kind == "closing"


@given(demo_names, any_changes)
@settings(max_examples=60, deadline=None)
def test_typing_the_line_that_is_there_changes_nothing(name: str, done: list[Change]) -> None:
    song = demo(name)
    for _, _, after in songs_on_the_way(song, done):
        song = after
    for number in range(1, len(song.parts) + 1):
        assert set_right_hand_line(song, number, write_line(song, number)) is song
        again = set_right_hand_line(song, number, write_line(song, number) + " ")
        assert again.part(number).melody == song.part(number).melody


def test_every_edit_there_is_is_tried() -> None:
    modules = {edit.__module__.rpartition(".")[2] for edit, _, _ in EDITS}
    rooms = {path.stem for path in (Path(__file__).resolve().parents[3] / "core" / "edits").glob("*.py")}
    assert rooms - modules == {"__init__", "chosen_notes", "cuts", "mentioned_parts", "note_text", "part_contents"}
