"""Where the hand lies through a line: its positions, each named by the keys under its fingers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.key import Key
from core.song.note import Hand, Note
from core.song.pitch import LETTERS, SEMITONES, NoteName, Pitch
from core.song.wording import say
from core.teaching.fingering_passage import Moment
from core.teaching.fingering_weights import WHOLE

THUMB: Final = 1
LITTLE: Final = 5
FIFTH_IN_STEPS: Final = 4
LOWEST: Final = 0
HIGHEST: Final = 127
"""MIDI numbers of the lowest and highest key there can be."""


class HandPosition(Struct, frozen=True):
    """A stretch of a line through which the hand stays in one place.

    Attributes:
        first: place of its first note in the line.
        last: place of its last note.
        onset: tick at which it begins, counted as the notes' onsets are.
        finger: the finger that names the position: the thumb where it plays, else the one nearest to it.
        pitch: what that finger plays.
        thumb: the key under the thumb: what it plays, or where it lies with a finger to each step.
        little: the key under the fifth finger, likewise.
    """

    first: int
    last: int
    onset: int
    finger: int
    pitch: Pitch
    thumb: Pitch
    little: Pitch

    @property
    def words(self) -> str:
        """The position as it is said: ``thumb on E♭``, ``2 on F♯``."""
        if self.finger == THUMB:
            return say("thumb on {key}", key=self.pitch.name.symbol)
        return say("{finger} on {key}", finger=self.finger, key=self.pitch.name.symbol)

    @property
    def whole_words(self) -> str:
        """The position with both ends of the hand: ``thumb on E♭ to fifth finger on B♭``."""
        return say(
            "thumb on {thumb_key} to fifth finger on {little_key}",
            thumb_key=self.thumb.name.symbol,
            little_key=self.little.name.symbol,
        )


def positions_of(
    notes: Sequence[Note], moments: Sequence[Moment], grips: Sequence[tuple[int, ...]], hand: Hand, key: Key | None
) -> tuple[HandPosition, ...]:
    """The hand's positions through a line, in order.

    Args:
        notes: the notes of one hand.
        moments: their moments.
        grips: the fingers at each moment.
        hand: the hand that plays.
        key: names the keys under fingers that do not play; without one they take the line's own names, else white
            keys.
    """
    if not moments:
        return ()
    names = {} if key is None else {letter: key.altered(letter) for letter in LETTERS}
    begins = position_begins(moments, grips)
    positions: list[HandPosition] = []
    for begin, end in zip(begins, [*begins[1:], len(moments)], strict=True):
        played = [
            (finger, notes[places[0]].pitch)
            for index in range(begin, end)
            for finger, places in zip(grips[index], moments[index].notes, strict=True)
        ]
        if key is None:
            names |= {pitch.letter: pitch.name for _, pitch in played}
        finger, pitch = min(played, key=lambda one: one[0])
        first = moments[begin].notes[0][0]
        last = max(place for places in moments[end - 1].notes for place in places)
        thumb, little = (_key_under(wanted, played, hand, names) for wanted in (THUMB, LITTLE))
        positions.append(HandPosition(first, last, notes[first].onset, finger, pitch, thumb, little))
    return tuple(positions)


def _key_under(wanted: int, played: Sequence[tuple[int, Pitch]], hand: Hand, names: dict[str, NoteName]) -> Pitch:
    """What a finger plays in a position, or the key it lies on with a finger to each step from the nearest one."""
    finger, pitch = min(played, key=lambda one: abs(one[0] - wanted))
    if finger == wanted:
        return pitch
    step = pitch.staff_step + (wanted - finger) * (1 if hand is Hand.RIGHT else -1)
    octave, degree = divmod(step, len(LETTERS))
    name = names.get(LETTERS[degree], NoteName(LETTERS[degree]))
    midi = 12 * (octave + 1) + SEMITONES[name.letter] + name.alteration
    # Past the end of the keyboard no key lies under the finger.
    return Pitch.of(name, octave) if LOWEST <= midi <= HIGHEST else pitch


def position_begins(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]]) -> list[int]:
    """Moments at which the hand goes to a new place."""
    if not moments:
        return []
    begins: list[int] = []
    low = high = 0
    for index, (moment, grip) in enumerate(zip(moments, grips, strict=True)):
        # Where the thumb would lie with a finger to each step, after the keys struck here.
        places = [step - finger for step, finger in zip(moment.steps, grip, strict=True)]
        here_low, here_high = min(places), max(places)
        stays = index > 0 and not turns(moments, grips, index)
        if stays and max(high, here_high) - min(low, here_low) <= 1 + (not moment.single):
            low, high = min(low, here_low), max(high, here_high)
        elif (
            stays
            and moment.share == WHOLE
            and here_low <= high + FIFTH_IN_STEPS
            and _reached_open(moments, grips, index)
        ):
            continue
        else:
            begins.append(index)
            low, high = here_low, here_high
    # One note alone between two places is reached for, not a place of its own.
    return [
        begin
        for begin, following in zip(begins, [*begins[1:], len(moments) + 1], strict=True)
        if begin == 0 or following - begin > 1
    ]


def turns(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]], index: int) -> bool:
    """Whether the thumb passes under or a finger over it on the way to a single note."""
    before, moment = moments[index - 1], moments[index]
    if not (before.single and moment.single):
        return False
    (first,), (second,) = grips[index - 1], grips[index]
    interval = moment.midis[0] - before.midis[0]
    return first != second and THUMB in (first, second) and (second - first) * interval < 0


def _reached_open(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]], index: int) -> bool:
    """Whether a note is reached by opening the hand, which then comes back."""
    if index + 1 >= len(moments):
        return True
    before, after = moments[index - 1], moments[index + 1]
    if not (before.single and moments[index].single and after.single):
        return False
    return before.steps[0] - grips[index - 1][0] == after.steps[0] - grips[index + 1][0]
