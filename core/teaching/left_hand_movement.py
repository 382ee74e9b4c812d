"""How far the left hand moves from chord to chord, what it keeps, and why each chord stands where it does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.chord import NEAREST, ROOT_POSITION
from core.song.pitch import NoteName
from core.song.song import Song
from core.song.wording import say, say_counted, to_say
from core.teaching.left_hand_voicings import Voicing, asked_for, voicing_before, voicings
from core.teaching.number_words import listed
from core.teaching.sentences import Phrase, joined, sentence
from core.theory.chord_tones import chord_tones
from core.theory.voicing import MOST_TONES, Asked, left_out, movement, thick_intervals, voice_each

INVERSIONS: Final = (
    to_say("root position"),
    to_say("first inversion"),
    to_say("second inversion"),
    to_say("third inversion"),
)
OTHER_STYLE: Final = {ROOT_POSITION: NEAREST, NEAREST: ROOT_POSITION}


class Movement(Struct, frozen=True):
    """The hand's way to a chord from the one before.

    Attributes:
        style: ``root`` or ``nearest``, as the chord is taken.
        moved: semitones that the voices move in all.
        kept: names of the keys that stay down, from the lowest up.
        otherwise: semitones that they would move in the other style, from the same chord before.
    """

    style: str
    moved: int
    kept: tuple[NoteName, ...]
    otherwise: int

    @property
    def sentence(self) -> str:
        """The effect of the other style, such as 'The nearest inversion would move 3 semitones instead of 9'."""
        other = OTHER_STYLE[self.style]
        if self.otherwise == self.moved and other == ROOT_POSITION:
            return say_counted(
                "Root position would move as much, {count} semitone.",
                "Root position would move as much, {count} semitones.",
                self.moved,
            )
        if self.otherwise == self.moved:
            return say_counted(
                "The nearest inversion would move as much, {count} semitone.",
                "The nearest inversion would move as much, {count} semitones.",
                self.moved,
            )
        if other == ROOT_POSITION:
            return say_counted(
                "Root position would move {count} semitone instead of {moved}.",
                "Root position would move {count} semitones instead of {moved}.",
                self.otherwise,
                moved=self.moved,
            )
        return say_counted(
            "The nearest inversion would move {count} semitone instead of {moved}.",
            "The nearest inversion would move {count} semitones instead of {moved}.",
            self.otherwise,
            moved=self.moved,
        )


def movements(song: Song, number: int) -> tuple[Movement | None, ...]:
    """The way to each chord of a part; None for 'no chord' and for the song's first chord.

    A part's first chord is reached from the last one of the part before.
    """
    part = song.part(number)
    before = voicing_before(song, number)
    found: list[Movement | None] = []
    for index, voicing in enumerate(voicings(song, number)):
        if not before or not voicing:
            found.append(None)
            before = voicing or before
            continue
        asked = asked_for(part, index)
        other = Asked(asked.symbol, OTHER_STYLE[asked.style], asked.highest)
        (otherwise,) = voice_each([other], song.hands, before)
        kept = tuple(pitch.name for pitch in voicing if pitch.midi in {last.midi for last in before})
        found.append(Movement(asked.style, movement((before, voicing)), kept, movement((before, otherwise))))
        before = voicing
    return tuple(found)


def part_movement(song: Song, number: int) -> dict[str, int]:
    """Semitones that the left hand moves inside a part, with all its chords in each style."""
    part = song.part(number)
    found: dict[str, int] = {}
    for style in OTHER_STYLE:
        asked = [asked_for(part, index) for index in range(len(part.chords))]
        found[style] = movement(voice_each([Asked(one.symbol, style, one.highest) for one in asked], song.hands))
    return found


def part_movement_sentence(song: Song, number: int) -> str:
    """What both styles move in a part, such as 'Nearest inversions move the left hand 8 semitones here, …'.

    Empty for a part with fewer than two chords.
    """
    moved = part_movement(song, number)
    if not any(moved.values()):
        return ""
    return say_counted(
        "Nearest inversions move the left hand {count} semitone here, root position {root}.",
        "Nearest inversions move the left hand {count} semitones here, root position {root}.",
        moved[NEAREST],
        root=moved[ROOT_POSITION],
    )


def placement_reasons(song: Song, number: int) -> tuple[str, ...]:
    """Why each chord of a part stands where it does, in one sentence; empty for 'no chord'."""
    placed = zip(voicings(song, number), movements(song, number), strict=True)
    return tuple(_reason(song, number, index, voicing, way) for index, (voicing, way) in enumerate(placed))


def _reason(song: Song, number: int, index: int, voicing: Voicing, way: Movement | None) -> str:
    if not voicing:
        return ""
    asked = asked_for(song.part(number), index)
    clauses = [_position(asked.symbol.bass, chord_tones(asked.symbol), voicing)]
    if way is not None and asked.style == NEAREST:
        clauses.append(_way(way))
    missing = left_out(asked.symbol, voicing)
    if missing:
        clauses.append(_missing(missing, len(voicing), song.hands.left_reach))
    alone = voice_each([Asked(asked.symbol)], song.hands)[0]
    if asked.style == ROOT_POSITION and asked.highest is not None and alone[-1].midi > asked.highest:
        below = voicing[-1].midi <= asked.highest
        below = voicing[-1].midi <= asked.highest
        clauses.append(say("lower than usual, below the melody") if below else say("the melody comes down to it"))
    clauses.extend(
        say("{low} and {high} sound thick so low", low=low.name.spoken, high=high.name.spoken)
        for low, high in thick_intervals(voicing)
    )
    return sentence(joined([Phrase(clause, lists=True) for clause in clauses]))


def _way(way: Movement) -> str:
    """How far the hand moves to a chord, and what it keeps."""
    if not way.kept:
        return say_counted(
            "it moves {count} semitone where root position would move {otherwise}",
            "it moves {count} semitones where root position would move {otherwise}",
            way.moved,
            otherwise=way.otherwise,
        )
    return say_counted(
        "it keeps {notes} and moves {count} semitone where root position would move {otherwise}",
        "it keeps {notes} and moves {count} semitones where root position would move {otherwise}",
        way.moved,
        notes=listed(name.spoken for name in way.kept),
        otherwise=way.otherwise,
    )


def _missing(missing: Sequence[NoteName], taken: int, reach: int) -> str:
    """Why tones of a chord are left out."""
    notes = listed(name.spoken for name in missing)
    if taken == MOST_TONES:
        return say("without {notes}, since four are enough for one hand", notes=notes)
    return say_counted(
        "without {notes}, since the hand reaches {count} semitone",
        "without {notes}, since the hand reaches {count} semitones",
        reach,
        notes=notes,
    )


def _position(bass: NoteName | None, tones: tuple[NoteName, ...], voicing: Voicing) -> str:
    if bass is not None:
        return say("{note} is written as the bass", note=bass.spoken)
    place = next((place for place, name in enumerate(tones) if name.pitch_class == voicing[0].midi % 12), 0)
    if place < len(INVERSIONS):
        return say(INVERSIONS[place])
    return say("{note} at the bottom", note=voicing[0].name.spoken)
