"""What every edit of a part shares: keeping notes in order, the melody one line, and own words marked."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from core.edits.mentioned_parts import review_mentions
from core.song.chord import Chord
from core.song.errors import EditError
from core.song.note import Note
from core.song.part import OwnWords, Part, Teaching, in_order
from core.song.song import Song
from core.song.wording import say, say_counted

RIGHT_HAND = "right_hand"
LEFT_HAND = "left_hand"
TOGETHER = "together"
WORD_KINDS = (RIGHT_HAND, LEFT_HAND, TOGETHER)


def the_part(song: Song, number: int) -> Part:
    """The part with a number; raises EditError where there is none."""
    if not 1 <= number <= len(song.parts):
        raise EditError(
            say_counted(
                "There is no part {number}; the song has one part, number 1.",
                "There is no part {number}; the song has parts 1 to {count}.",
                len(song.parts),
                number=number,
            )
        )
    return song.parts[number - 1]


def the_note(song: Song, number: int, index: int) -> Note:
    """A note of a part; raises EditError where there is none."""
    part = the_part(song, number)
    if not 0 <= index < len(part.notes):
        raise EditError(say("Part {number} has no such note any more; select a note first.", number=number))
    return part.notes[index]


def the_chord(song: Song, number: int, index: int) -> Chord:
    """A chord of a part; raises EditError where there is none."""
    part = the_part(song, number)
    if not 0 <= index < len(part.chords):
        raise EditError(say("Part {number} has no such chord any more; select a chord first.", number=number))
    return part.chords[index]


def with_notes(song: Song, number: int, notes: Iterable[Note]) -> Song:
    """The song with other notes in a part; the teacher's own words that speak of them are marked for review."""
    part = the_part(song, number)
    teaching = for_review(part.teaching, (RIGHT_HAND, TOGETHER))
    after = song.with_part(number, replace(part, notes=in_order(list(notes)), teaching=teaching))
    return review_mentions(after, (number,))


def with_line(song: Song, number: int, notes: Iterable[Note]) -> Song:
    """`with_notes`, with the melody kept one line across the part's borders too.

    No new or changed note sounds past the song's end, and none of the melody into the next one of a later part.
    Where the part's melody now begins earlier, a melody note of an earlier part that sounded on ends there.
    """
    start = song.part_onsets[number - 1]
    before = the_part(song, number).notes
    line_end = _next_melody(song, number) - start
    kept = []
    for note in notes:
        latest = line_end if note.melody else song.length - start
        too_long = note.end > latest and note not in before
        kept.append(replace(note, duration=latest - note.onset) if too_long else note)
    begins, began = _line_begins(kept), _line_begins(before)
    after = with_notes(song, number, kept)
    if begins is None or (began is not None and began <= begins):
        return after
    for earlier in range(number - 1, 0, -1):
        end = start + begins - song.part_onsets[earlier - 1]
        sounding = song.part(earlier).notes
        if any(note.melody and note.end > end for note in sounding):
            ended = [
                replace(note, duration=end - note.onset) if note.melody and note.end > end else note
                for note in sounding
            ]
            after = with_notes(after, earlier, ended)
    return after


def _line_begins(notes: Iterable[Note]) -> int | None:
    return min((note.onset for note in notes if note.melody and not note.is_grace), default=None)


def _next_melody(song: Song, number: int) -> int:
    """Where the melody goes on behind a part, in ticks from the song's start; the song's end where it does not."""
    for start, part in zip(song.part_onsets[number:], song.parts[number:], strict=True):
        for note in part.notes:
            if note.melody and not note.is_grace:
                return start + note.onset
    return song.length


def with_chords(song: Song, number: int, chords: Iterable[Chord]) -> Song:
    """The song with other chords in a part; the teacher's own words that speak of them are marked for review."""
    part = the_part(song, number)
    teaching = for_review(part.teaching, (LEFT_HAND, TOGETHER))
    after = song.with_part(number, replace(part, chords=tuple(chords), teaching=teaching))
    return review_mentions(after, (number,))


def for_review(teaching: Teaching, kinds: Iterable[str] = WORD_KINDS) -> Teaching:
    """Teaching choices with own words of some kinds marked: the song under them has changed."""
    kinds = frozenset(kinds)
    words = tuple(replace(own, review=True) if own.kind in kinds else own for own in teaching.words)
    return teaching if words == teaching.words else replace(teaching, words=words)


def with_words_of(teaching: Teaching, others: Iterable[Teaching]) -> Teaching:
    """Teaching choices of a part that swallows others, with the teacher's own words of all of them, each once."""
    together = (teaching, *others)
    words = []
    for kind in WORD_KINDS:
        found = [own for one in together if (own := one.words_for(kind)) is not None]
        text = "\n".join(dict.fromkeys(own.text for own in found))
        if found:
            words.append(OwnWords(kind, text, review=any(own.review for own in found)))
    return replace(teaching, words=tuple(words))


def without_words(teaching: Teaching) -> Teaching:
    """Teaching choices with no words of the teacher's own."""
    return replace(teaching, words=())


def one_line(notes: Iterable[Note], placed: Note) -> tuple[Note, ...]:
    """Melody notes with `placed` among them, so that one note sounds at a time.

    A note that sounds into `placed` ends where it begins; `placed` ends where the next one begins.

    Raises:
        EditError: where another melody note begins at the same moment.
    """
    kept: list[Note] = []
    end = placed.end
    for note in notes:
        if not note.melody or note.is_grace:
            kept.append(note)
        elif note.onset == placed.onset and not placed.is_grace:
            raise EditError(
                say(
                    "There is already a note at that moment, {note}; move it or rename it instead.",
                    note=note.pitch.name.spoken,
                )
            )
        elif note.onset < placed.onset < note.end:
            kept.append(replace(note, duration=placed.onset - note.onset))
        else:
            if placed.onset < note.onset < end:
                end = note.onset
            kept.append(note)
    return in_order([*kept, replace(placed, duration=end - placed.onset)])
