"""Both hands of a song in one key: what their fingering costs, their black keys and their widest stretch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct

from core.arranging.left_hand import left_hand
from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.song.song import Song
from core.teaching.effort_moments import BLACK, PlayedNote
from core.teaching.fingering_passage import moments_of
from core.teaching.fingering_search import best_grips, cost_of, steps_of
from core.teaching.fingering_weights import POINT

PASSAGE_BARS: Final = 1
"""A hand is fingered so many bars at a time: what tells keys apart lies within a bar."""
LETTERS: Final = "CDEFGAB"

Shape = tuple[tuple[int, int, int, int], ...]
"""Onset from the passage's start, duration, semitones and steps of the staff above the first note, for each note."""


class HandsInKey(Struct, frozen=True):
    """What the hands meet in one key.

    Attributes:
        fingering: cost of the best fingering, in points a note.
        black_keys: how many different black keys are played.
        black_notes: how many notes lie on black keys.
        widest: semitones of the widest stretch of a hand.
        widest_is_white: whether every stretch so wide lies between white keys.
        melody: lowest and highest note of the melody, or None without one.
        played: both hands' notes, the right hand's first, with onsets from the song's start.
    """

    fingering: float
    black_keys: int
    black_notes: int
    widest: int
    widest_is_white: bool
    melody: tuple[Pitch, Pitch] | None
    played: tuple[PlayedNote, ...]

    def moved_from(self, other: HandsInKey) -> int | None:
        """By how many semitones all the other's notes were moved up to make these; None where they differ otherwise."""
        if len(self.played) != len(other.played) or not self.played:
            return None
        semitones = self.played[0].midi - other.played[0].midi
        alike = all(
            here.midi - there.midi == semitones
            and (here.onset, here.duration, here.hand) == (there.onset, there.duration, there.hand)
            for here, there in zip(self.played, other.played, strict=True)
        )
        return semitones if alike else None


class Passages:
    """The fingering of passages; each shape on each pattern of black and white is fingered once."""

    def __init__(self, hands: HandProfile) -> None:
        self._hands = hands
        self._known: dict[tuple[Hand, Shape, int], int] = {}

    def cost(self, notes: Sequence[Note], hand: Hand) -> int:
        """What the best fingering of a hand's notes costs, in parts of a point."""
        first = notes[0]
        base, staff = first.pitch.midi, _staff_step(first.pitch)
        shape = tuple(
            (
                note.onset - first.onset,
                note.duration,
                note.pitch.midi - base,
                _staff_step(note.pitch) - staff,
            )
            for note in notes
        )
        blacks = 0
        for note in notes:
            blacks = 2 * blacks + (note.pitch.midi % 12 in BLACK)
        known = self._known.get((hand, shape, blacks))
        if known is None:
            reach = self._hands.reach(hand)
            moments = moments_of(notes, hand, reach)
            steps = steps_of(moments, reach)
            known = cost_of(moments, steps, best_grips(moments, steps))
            self._known[hand, shape, blacks] = known
        return known


def hands_in(song: Song, passages: Passages) -> HandsInKey:
    """What the hands meet in the key a song is in, its left hand placed there; a teacher's own fingers do not count."""
    notes = {Hand.RIGHT: list(_played(song, Hand.RIGHT)), Hand.LEFT: list(_played(song, Hand.LEFT))}
    every = [note for line in notes.values() for note in line]
    cost = sum(passages.cost(passage, hand) for hand, line in notes.items() for passage in _cut(song, line))
    blacks = [note.pitch.midi % 12 for note in every if note.pitch.midi % 12 in BLACK]
    stretches = [stretch for line in notes.values() for stretch in _stretches(line)]
    widest = max((high - low for low, high in stretches), default=0)
    at_widest = [(low, high) for low, high in stretches if high - low == widest]
    tune = sorted((note.pitch for _, note in song.placed_notes() if note.melody), key=lambda pitch: pitch.midi)
    return HandsInKey(
        cost / POINT / len(every) if every else 0.0,
        len(set(blacks)),
        len(blacks),
        widest,
        not any(key % 12 in BLACK for stretch in at_widest for key in stretch),
        (tune[0], tune[-1]) if tune else None,
        tuple(PlayedNote(note.onset, note.duration, note.pitch.midi, note.hand) for note in every),
    )


def _played(song: Song, hand: Hand) -> Iterator[Note]:
    """The notes of a hand in order, with onsets from the song's start and without fingers."""
    for number, (start, part) in enumerate(zip(song.part_onsets, song.parts, strict=True), 1):
        for note in part.hand(Hand.RIGHT) if hand is Hand.RIGHT else left_hand(song, number):
            yield Note(start + note.onset, note.duration, note.pitch, hand)


def _cut(song: Song, notes: Sequence[Note]) -> Iterator[list[Note]]:
    """The notes of each bar, or stretch of `PASSAGE_BARS`, that has any."""
    ends = [bar.end for bar in song.bars][PASSAGE_BARS - 1 :: PASSAGE_BARS]
    passage: list[Note] = []
    place = 0
    for note in notes:
        while place < len(ends) and note.onset >= ends[place]:
            place += 1
            if passage:
                yield passage
                passage = []
        passage.append(note)
    if passage:
        yield passage


def _stretches(notes: Sequence[Note]) -> Iterator[tuple[int, int]]:
    """Lowest and highest key of notes struck together."""
    at: dict[int, tuple[int, int]] = {}
    for note in notes:
        midi = note.pitch.midi
        low, high = at.get(note.onset, (midi, midi))
        at[note.onset] = min(low, midi), max(high, midi)
    yield from at.values()


def _staff_step(pitch: Pitch) -> int:
    return 7 * pitch.octave + LETTERS.index(pitch.name.letter)
