"""Why a finger plays a note, and where the hand lies, in words that can be shown.

A reason says what is true of the fingering beside it: the turn of the thumb that is made, the black key that is
kept free of the thumb, the finger that a step falls to. It is read off the fingers chosen, not off the search.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from core.song.note import Hand, Note
from core.song.pitch import Pitch
from core.teaching.fingering_passage import Moment, steps_between
from core.teaching.fingering_weights import WHOLE

THUMB: Final = 1
FIFTH_IN_STEPS: Final = 4
OWN: Final = "the teacher's own finger"


@dataclass(frozen=True, slots=True)
class HandPosition:
    """A stretch of a line through which the hand stays in one place.

    Attributes:
        first: place of its first note in the line.
        last: place of its last note.
        onset: tick at which it begins, counted as the notes' onsets are.
        finger: the finger that names the position: the thumb where it plays, else the one nearest to it.
        pitch: what that finger plays.
    """

    first: int
    last: int
    onset: int
    finger: int
    pitch: Pitch

    @property
    def words(self) -> str:
        """The position as it is said: ``thumb on E♭``, ``2 on F♯``."""
        finger = "thumb" if self.finger == THUMB else str(self.finger)
        return f"{finger} on {self.pitch.name.symbol}"


def reasons_of(
    notes: Sequence[Note], moments: Sequence[Moment], grips: Sequence[tuple[int, ...]], hand: Hand
) -> tuple[str, ...]:
    """A reason for the finger of every note.

    Args:
        notes: the notes of one hand.
        moments: their moments.
        grips: the fingers at each moment.
        hand: the hand that plays.
    """
    if not moments:
        return ()
    reasons = [OWN] * len(notes)
    begins = _position_begins(moments, grips)
    ends = [*begins[1:], len(moments)]
    position = -1
    for index, (moment, grip) in enumerate(zip(moments, grips, strict=True)):
        if position + 1 < len(begins) and begins[position + 1] == index:
            position += 1
        for order, places in enumerate(moment.notes):
            if all(notes[place].finger is not None for place in places):
                continue
            if moment.single:
                text = _single(notes, moments, grips, index, ends[position], hand)
            else:
                text = _in_chord(moment, grip, order, hand)
            for place in places:
                if notes[place].finger is None:
                    reasons[place] = text
    return tuple(reasons)


def positions_of(
    notes: Sequence[Note], moments: Sequence[Moment], grips: Sequence[tuple[int, ...]]
) -> tuple[HandPosition, ...]:
    """The hand's positions through a line, in order.

    Args:
        notes: the notes of one hand.
        moments: their moments.
        grips: the fingers at each moment.
    """
    if not moments:
        return ()
    begins = _position_begins(moments, grips)
    positions: list[HandPosition] = []
    for begin, end in zip(begins, [*begins[1:], len(moments)], strict=True):
        finger, index, order = min(
            (finger, index, order) for index in range(begin, end) for order, finger in enumerate(grips[index])
        )
        note = notes[moments[index].notes[order][0]]
        first = moments[begin].notes[0][0]
        last = max(place for places in moments[end - 1].notes for place in places)
        positions.append(HandPosition(first, last, notes[first].onset, finger, note.pitch))
    return tuple(positions)


def _position_begins(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]]) -> list[int]:
    """Moments at which the hand goes to a new place."""
    if not moments:
        return []
    begins: list[int] = []
    low = high = 0
    for index, (moment, grip) in enumerate(zip(moments, grips, strict=True)):
        # Where the thumb would lie with a finger to each step, after the keys struck here.
        places = [step - finger for step, finger in zip(moment.steps, grip, strict=True)]
        here_low, here_high = min(places), max(places)
        stays = index > 0 and not _turns(moments, grips, index)
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


def _turns(moments: Sequence[Moment], grips: Sequence[tuple[int, ...]], index: int) -> bool:
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


def _single(
    notes: Sequence[Note],
    moments: Sequence[Moment],
    grips: Sequence[tuple[int, ...]],
    index: int,
    end: int,
    hand: Hand,
) -> str:
    moment, finger = moments[index], grips[index][0]
    name = _name(notes, moment)
    before = moments[index - 1] if index else None
    after = moments[index + 1] if index + 1 < len(moments) else None
    thumb_follows = (
        after is not None
        and after.single
        and after.share == WHOLE
        and grips[index + 1][0] == THUMB
        and after.midis[0] > moment.midis[0]
        and finger != THUMB
    )
    if before is None or not before.single or moment.share < WHOLE:
        return _setting_down(notes, moments, grips, index, thumb_follows)
    finger_before = grips[index - 1][0]
    interval = moment.midis[0] - before.midis[0]
    onward = "up" if (interval > 0) == (hand is Hand.RIGHT) else "down"
    if interval == 0:
        return (
            "the same finger for the same key" if finger == finger_before else f"{finger} makes room for what follows"
        )
    if _turns(moments, grips, index):
        goal = _name(notes, moments[_farthest(moments, index, end, interval)])
        onto = "" if goal == name else f", on to {goal}"
        if finger == THUMB:
            return f"thumb under {finger_before} to go {onward}{onto}"
        return f"{finger} over the thumb to go {onward}{onto}"
    if moment.blacks[0] and finger != THUMB and (thumb_follows or (finger == 4 and finger_before == 3)):
        return f"{finger} avoids a thumb on {name}"
    if thumb_follows and after is not None:
        return f"{finger} leaves the thumb free for {_name(notes, after)}"
    if finger == finger_before:
        return f"the hand is lifted to {name}"
    if moment.mate >= 0 and grips[moment.mate][0] == finger:
        return f"{finger} as on the {name} an octave {'lower' if onward == 'up' else 'higher'}"
    steps, apart = abs(steps_between(before, moment)), abs(finger - finger_before)
    if (finger - finger_before) * interval < 0:
        return f"the hand is lifted to {name}"
    if steps == apart:
        return "the next finger for the next step" if steps == 1 else f"a finger for each step: {finger} lies on {name}"
    if steps > apart:
        return f"the hand opens from {finger_before} to reach {name}"
    return f"the hand closes to bring {finger} to {name}"


def _setting_down(
    notes: Sequence[Note],
    moments: Sequence[Moment],
    grips: Sequence[tuple[int, ...]],
    index: int,
    thumb_follows: bool,
) -> str:
    moment, finger = moments[index], grips[index][0]
    name = _name(notes, moment)
    if moment.blacks[0] and finger != THUMB and thumb_follows:
        return f"{finger} avoids a thumb on {name}"
    which = "the thumb" if finger == THUMB else str(finger)
    if thumb_follows:
        return f"starts with {which} so that the thumb falls on {_name(notes, moments[index + 1])}"
    return f"sets the hand down with {which} on {name}"


def _in_chord(moment: Moment, grip: tuple[int, ...], order: int, hand: Hand) -> str:
    finger = grip[order]
    if order == 0:
        lowest = "lowest" if hand is Hand.RIGHT else "highest"
        return f"{'thumb' if finger == THUMB else finger} on the {lowest} note of the chord"
    if grip[order - 1] == finger:
        return "the thumb takes two keys"
    steps = moment.steps[order] - moment.steps[order - 1]
    if steps == finger - grip[order - 1]:
        return f"a finger for each step from {grip[order - 1]} to {finger}"
    if steps > finger - grip[order - 1]:
        return f"the hand opens between {grip[order - 1]} and {finger}"
    return f"the hand closes between {grip[order - 1]} and {finger}"


def _farthest(moments: Sequence[Moment], index: int, end: int, interval: int) -> int:
    """The moment to which a line goes on in one direction within a position."""
    while index + 1 < end and (moments[index + 1].midis[0] - moments[index].midis[0]) * interval > 0:
        index += 1
    return index


def _name(notes: Sequence[Note], moment: Moment) -> str:
    return notes[moment.notes[0][0]].pitch.name.symbol
