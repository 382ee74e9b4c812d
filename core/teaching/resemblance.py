"""Which parts resemble one another, and by what they differ.

Two parts are compared in rhythm (onsets and lengths), pitch (exact, or moved by one interval), contour
(direction from note to note) and chords. An exact repeat is always found; a near one is told with its difference,
so that it can be taught by the difference alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from core.song.identity_cache import kept_by_identity
from core.song.metre import bar_at
from core.song.note import Note
from core.song.part import Part
from core.song.song import Song
from core.song.wording import say, say_counted, to_say
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import NUMBERS_IN_ENGLISH, listed, number_word, ordinal_word
from core.teaching.spoken_intervals import SpokenInterval

LEAST_NOTES: Final = 3
"""Fewer notes than this resemble anything."""
MOST_CHANGES: Final = 3
"""More changed notes than this are a tune of their own; nor may they be more than a quarter of the part."""
LEAST_SHARED: Final = 0.5
"""A shared beginning or ending is worth saying from this share of the notes on."""
LONGEST_LEAD_IN: Final = 3
"""Notes; a pick-up up to this long may be there in one of two parts and not in the other."""


class Resemblance(Struct, frozen=True):
    """How a part resembles another one.

    Attributes:
        part: number of the other part.
        how: in a few words that programs go by, such as ``same notes`` or ``same rhythm``; never translated.
        sentence: in full, such as 'Part 3 is part 1 with a new ending from bar 7.'
        strength: 0 … 1; 1 is an exact repeat.
        lead: the sentence without a note's name, for words that name every note once.
        same_left_hand: whether the chords and a written left hand are the same, at the same moments.
        changed: which of the part's melody notes (grace notes not counted, from 0) differ from the other part's;
            empty where none does, None where the part has to be learned as a whole.
        differs_at: ticks from the part's start to the first note that differs; None where `changed` is empty or None.
        tells_last_length: whether the sentence says that the last note is longer or shorter.
    """

    part: int
    how: str
    sentence: str
    strength: float
    lead: str
    same_left_hand: bool = False
    changed: tuple[int, ...] | None = None
    differs_at: int | None = None
    tells_last_length: bool = False

    @property
    def is_exact(self) -> bool:
        """Whether both hands of the part are those of the other part, note for note."""
        return self.strength >= 1.0


class _Seen(Struct, frozen=True):
    """What is compared of a part: its melody in several lights, worked out once for all comparisons."""

    notes: tuple[Note, ...]
    placed: list[tuple[int, int, int]]
    rhythm: list[tuple[int, int]]
    struck: list[tuple[int, int]]
    from_end: list[tuple[int, int]]
    contour: list[int]
    graces: list[tuple[int, int]]
    chords: list[tuple[int, int, object]]
    left_hand: list[tuple[int, int, int]]


@kept_by_identity
def _seen(part: Part) -> _Seen:
    line = _line(part)
    return _Seen(
        line,
        _placed(line),
        _rhythm(line),
        _struck(line),
        _from_end(line),
        _contour(line),
        _graces(part),
        _chords(part),
        _left_hand(part),
    )


class _Pair(Struct, frozen=True):
    """Two parts under comparison: their numbers, the later one first, and what is seen of each."""

    number: int
    other: int
    here: _Seen
    there: _Seen
    same_left_hand: bool

    @property
    def notes(self) -> tuple[Note, ...]:
        """The later part's melody."""
        return self.here.notes

    @property
    def known(self) -> tuple[Note, ...]:
        """The other part's melody."""
        return self.there.notes

    def found(
        self,
        how: str,
        sentence: str,
        strength: float,
        changed: Sequence[int] | None = None,
        lead: str | None = None,
        *,
        tells_last_length: bool = False,
    ) -> Resemblance:
        """A resemblance with its sentence."""
        return Resemblance(
            self.other,
            how,
            sentence,
            strength,
            sentence if lead is None else lead,
            self.same_left_hand,
            None if changed is None else tuple(changed),
            self.notes[changed[0]].onset if changed else None,
            tells_last_length,
        )

    @property
    def known_part(self) -> str:
        """The other part as it comes back: 'part 1', 'part 1 over other chords'."""
        if self.here.chords == self.there.chords:
            return say("part {part}", part=self.other)
        return say("part {part} over other chords", part=self.other)

    @property
    def known_again(self) -> str:
        """The other part as it comes back note for note."""
        if self.here.chords == self.there.chords:
            return say("part {part} again", part=self.other)
        return say("part {part} again over other chords", part=self.other)

    @property
    def last_length(self) -> int:
        """Whether the last note is longer (1), shorter (−1) or as long (0)."""
        last, old = self.notes[-1].duration, self.known[-1].duration
        return (last > old) - (last < old)

    def told(self, known: str) -> str:
        """What the part is, with a last note of another length."""
        match self.last_length:
            case 1:
                text = to_say("Part {number} is {known}, but its last note is longer.")
            case -1:
                text = to_say("Part {number} is {known}, but its last note is shorter.")
            case _:
                text = to_say("Part {number} is {known}.")
        return say(text, number=self.number, known=known)


def resemblance(song: Song, number: int, to: Sequence[int] | None = None) -> Resemblance | None:
    """The strongest resemblance of a part to others, the earlier part where two are as strong; None without one.

    Args:
        song: the song.
        number: part number from 1.
        to: numbers of the parts to compare with, or None for all that come before it.
    """
    others = range(1, number) if to is None else to
    found = [one for other in others if other != number and (one := compared(song, number, other)) is not None]
    return max(found, key=lambda one: one.strength, default=None)


def compared(song: Song, number: int, other: int, names: Names = LETTER_NAMES) -> Resemblance | None:
    """How a part resembles one other part, told with these names of notes; None where it does not."""
    here, there = _seen(song.part(number)), _seen(song.part(other))
    if len(here.notes) < LEAST_NOTES or len(there.notes) < LEAST_NOTES:
        return None
    same_chords = here.chords == there.chords
    pair = _Pair(number, other, here, there, same_chords and here.left_hand == there.left_hand)
    if here.placed == there.placed:
        same_length = song.part(number).duration == song.part(other).duration
        is_whole = pair.same_left_hand and same_length and here.graces == there.graces
        how = "same" if is_whole else "same notes"
        return pair.found(how, pair.told(pair.known_again), 1.0 - 0.05 * (not is_whole), ())
    return (
        _moved(pair, same_chords)
        or _changed(pair, names)
        or _same_but_for_lengths(pair)
        or _same_from_elsewhere(song, pair)
        or _shared_beginning(song, pair)
        or _shared_ending(pair)
        or _same_shape(pair, same_chords)
    )


def _line(part: Part) -> tuple[Note, ...]:
    return tuple(note for note in part.notes if note.melody and not note.is_grace)


def _graces(part: Part) -> list[tuple[int, int]]:
    return [(note.onset, note.pitch.midi) for note in part.notes if note.melody and note.is_grace]


def _placed(notes: Sequence[Note]) -> list[tuple[int, int, int]]:
    return [(note.onset, note.duration, note.pitch.midi) for note in notes]


def _rhythm(notes: Sequence[Note]) -> list[tuple[int, int]]:
    return [(note.onset, note.duration) for note in notes]


def _struck(notes: Sequence[Note]) -> list[tuple[int, int]]:
    """When which key is struck, counted from the first note."""
    return [(note.onset - notes[0].onset, note.pitch.midi) for note in notes]


def _chords(part: Part) -> list[tuple[int, int, object]]:
    return [(chord.onset, chord.duration, chord.symbol) for chord in part.chords]


def _left_hand(part: Part) -> list[tuple[int, int, int]]:
    return [(note.onset, note.duration, note.pitch.midi) for note in part.notes if not note.melody]


def _moved(pair: _Pair, same_chords: bool) -> Resemblance | None:
    """A line that is moved as a whole, in the letters of the key or by semitones alike."""
    if pair.here.rhythm != pair.there.rhythm:
        return None
    steps = {note.pitch.staff_step - old.pitch.staff_step for note, old in zip(pair.notes, pair.known, strict=True)}
    if len(steps) != 1 or steps == {0}:
        return None
    step = steps.pop()
    interval = SpokenInterval.of_letters(abs(step)).said
    moved = say("{interval} higher", interval=interval) if step > 0 else say("{interval} lower", interval=interval)
    text = (
        to_say("Part {number} is part {part}, {moved}.")
        if same_chords
        else to_say("Part {number} is part {part}, {moved} over other chords.")
    )
    sentence = say(text, number=pair.number, part=pair.other, moved=moved)
    return pair.found(say("same, {moved}", moved=moved), sentence, 0.9)


def _changed(pair: _Pair, names: Names) -> Resemblance | None:
    """Parts of the same rhythm in which a few notes differ."""
    notes, known = pair.notes, pair.known
    if pair.here.rhythm != pair.there.rhythm:
        return None
    changes = [
        place for place, (note, old) in enumerate(zip(notes, known, strict=True)) if note.pitch.midi != old.pitch.midi
    ]
    if not changes or len(changes) > min(MOST_CHANGES, len(notes) // 4):
        return None
    told = ", ".join(
        say(
            "the {ordinal} note is {new} instead of {old}",
            ordinal=ordinal_word(place + 1),
            new=names.said(notes[place].pitch.name),
            old=names.said(known[place].pitch.name),
        )
        for place in changes
    )
    count = number_word(len(changes))
    one = len(changes) == 1
    how = f"same but for {NUMBERS_IN_ENGLISH[len(changes)]} {'note' if one else 'notes'}"
    lead = say_counted(
        "Part {part} is {known} but for {number} note, the {ordinals}.",
        "Part {part} is {known} but for {number} notes, the {ordinals}.",
        len(changes),
        part=pair.number,
        known=pair.known_part,
        number=count,
        ordinals=listed(ordinal_word(place + 1) for place in changes),
    )
    sentence = say("Part {number} is {known}, but {changes}.", number=pair.number, known=pair.known_part, changes=told)
    return pair.found(how, sentence, 0.85 - 0.02 * len(changes), changes, lead)


def _same_but_for_lengths(pair: _Pair) -> Resemblance | None:
    """The same keys struck at the same moments, held for other lengths."""
    notes, known = pair.notes, pair.known
    if notes[0].onset != known[0].onset or pair.here.struck != pair.there.struck:
        return None
    changes = [
        place for place, (note, old) in enumerate(zip(notes, known, strict=True)) if note.duration != old.duration
    ]
    only_last = changes == [len(notes) - 1]
    if only_last:
        sentence = pair.told(pair.known_part)
    else:
        sentence = say(
            "Part {number} is {known}, but some notes are held differently.", number=pair.number, known=pair.known_part
        )
    how = "same notes, held differently"
    return pair.found(how, sentence, 0.93, changes, tells_last_length=only_last)


def _same_from_elsewhere(song: Song, pair: _Pair) -> Resemblance | None:
    """The same notes, cut at another place of the bar, or with a pick-up that only one of the two has."""
    notes, known = pair.notes, pair.known
    more = len(notes) - len(known)
    longer, shorter = (notes, known) if more > 0 else (known, notes)
    lead_in = abs(more)
    if lead_in > min(LONGEST_LEAD_IN, len(shorter) // 2):
        return None
    tail = longer[lead_in:]
    if _struck(tail) != _struck(shorter) or _lengths(tail) != _lengths(shorter):
        return None
    first, old = (tail[0], shorter[0]) if more > 0 else (shorter[0], tail[0])
    if _place_in_bar(song, pair.number, first) != _place_in_bar(song, pair.other, old):
        sentence = say(
            "Part {number} is {known}, begun at another place in the bar.", number=pair.number, known=pair.known_again
        )
        return pair.found("same notes", sentence, 0.7)
    other_end = pair.last_length != 0
    changed = [*range(max(0, more)), *([len(notes) - 1] if other_end else ())]
    if not more:
        sentence = pair.told(pair.known_again)
        return pair.found("same notes", sentence, 0.92, changed, tells_last_length=other_end)
    how = "same with a pick-up" if more > 0 else "same without its pick-up"
    sentence = pair.told(_with_pick_up(pair, lead_in) if more > 0 else _without_pick_up(pair, lead_in))
    return pair.found(how, sentence, 0.9, changed, tells_last_length=other_end)


def _with_pick_up(pair: _Pair, lead_in: int) -> str:
    return say_counted(
        "{known} with {number} note leading in",
        "{known} with {number} notes leading in",
        lead_in,
        known=pair.known_part,
        number=number_word(lead_in),
    )


def _without_pick_up(pair: _Pair, lead_in: int) -> str:
    return say_counted(
        "{known} without its first note",
        "{known} without its first {number} notes",
        lead_in,
        known=pair.known_part,
        number=number_word(lead_in),
    )


def _lengths(notes: Sequence[Note]) -> list[int]:
    """The lengths of all notes but the last."""
    return [note.duration for note in notes[:-1]]


def _place_in_bar(song: Song, number: int, note: Note) -> int:
    """Ticks from a note to the end of its bar, which a pick-up's bar shares with whole ones."""
    onset = song.part_onsets[number - 1] + note.onset
    return bar_at(song.bars, onset).end - onset


def _shared_beginning(song: Song, pair: _Pair) -> Resemblance | None:
    notes, known = pair.notes, pair.known
    shared = 0
    for note, old in zip(notes, known, strict=False):
        if (note.onset, note.pitch.midi) != (old.onset, old.pitch.midi):
            break
        shared += 1
    if shared < max(LEAST_NOTES, LEAST_SHARED * max(len(notes), len(known))):
        return None
    share = shared / max(len(notes), len(known))
    strength = 0.55 + 0.25 * share
    if shared == len(notes):
        told = say_counted(
            "Part {number} is the beginning of part {part}: its first note.",
            "Part {number} is the beginning of part {part}: its first {notes} notes.",
            shared,
            number=pair.number,
            part=pair.other,
            notes=number_word(shared),
        )
        return pair.found(say("beginning of it"), told, strength, ())
    bar = bar_at(song.bars, song.part_onsets[pair.number - 1] + notes[shared].onset).number
    told = say(
        "Part {number} is part {part} with a new ending from bar {bar}.", number=pair.number, part=pair.other, bar=bar
    )
    return pair.found(say("same beginning"), told, strength, range(shared, len(notes)))


def _from_end(line: Sequence[Note]) -> list[tuple[int, int]]:
    """When which key is struck, counted back from the last note."""
    return [(line[-1].onset - note.onset, note.pitch.midi) for note in reversed(line)]


def _shared_ending(pair: _Pair) -> Resemblance | None:
    notes, known = pair.notes, pair.known
    shared = 0
    for note, old in zip(pair.here.from_end, pair.there.from_end, strict=False):
        if note != old:
            break
        shared += 1
    if shared < max(LEAST_NOTES, LEAST_SHARED * max(len(notes), len(known))):
        return None
    share = shared / max(len(notes), len(known))
    told = say_counted(
        "Part {number} ends as part {part} does: the last note is the same.",
        "Part {number} ends as part {part} does: the last {notes} notes are the same.",
        shared,
        number=pair.number,
        part=pair.other,
        notes=number_word(shared),
    )
    return pair.found(say("same ending"), told, 0.5 + 0.2 * share, range(len(notes) - shared))


def _same_shape(pair: _Pair, same_chords: bool) -> Resemblance | None:
    same_rhythm = pair.here.rhythm == pair.there.rhythm
    same_contour = pair.here.contour == pair.there.contour
    if same_rhythm and same_contour:
        how, strength = "same rhythm and shape", 0.5
        text = to_say("Part {number} has the same rhythm and shape as part {part}.")
    elif same_rhythm:
        how, strength = "same rhythm", 0.4
        text = to_say("Part {number} has the same rhythm as part {part}.")
    elif same_chords and pair.here.chords:
        how, strength = "same chords", 0.3
        text = to_say("Part {number} has the same chords as part {part}.")
    else:
        return None
    return pair.found(how, say(text, number=pair.number, part=pair.other), strength)


def _contour(notes: Sequence[Note]) -> list[int]:
    moves = [after.pitch.midi - before.pitch.midi for before, after in pairwise(notes)]
    return [(move > 0) - (move < 0) for move in moves]
