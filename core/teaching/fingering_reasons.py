"""Why a finger plays a note, in words that can be shown.

A reason says what is true of the fingering beside it: the turn of the thumb that is made, the black key that is
kept free of the thumb, the finger that a step falls to. It is read off the fingers chosen, not off the search.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from core.song.note import Hand, Note
from core.song.wording import say, to_say
from core.teaching.fingering_cost import ONE_THUMB_TAKES
from core.teaching.fingering_passage import Moment, steps_between
from core.teaching.fingering_positions import LITTLE, THUMB, position_begins, turns
from core.teaching.fingering_weights import WHOLE
from core.teaching.spans import natural_interval, spans_for_reach

LOOK_AHEAD: Final = 16
"""What comes more moments later is no reason that a learner sees."""
OWN: Final = to_say("the teacher's own finger")

_TURNS: Final = {
    (True, True): to_say("thumb under {finger} to go up"),
    (True, False): to_say("thumb under {finger} to go down"),
    (False, True): to_say("{finger} over the thumb to go up"),
    (False, False): to_say("{finger} over the thumb to go down"),
}
"""Whether the thumb passes under, and whether the line goes up."""
_ON_THE_OUTER_NOTE: Final = {
    (Hand.RIGHT, True): to_say("thumb on the lowest note of the chord"),
    (Hand.RIGHT, False): to_say("{finger} on the lowest note of the chord"),
    (Hand.LEFT, True): to_say("thumb on the highest note of the chord"),
    (Hand.LEFT, False): to_say("{finger} on the highest note of the chord"),
}
"""The hand, and whether it is the thumb."""


def reasons_of(
    notes: Sequence[Note], moments: Sequence[Moment], grips: Sequence[tuple[int, ...]], hand: Hand, reach: int
) -> tuple[str, ...]:
    """A reason for the finger of every note.

    Args:
        notes: the notes of one hand.
        moments: their moments.
        grips: the fingers at each moment.
        hand: the hand that plays.
        reach: what it reaches, in semitones.
    """
    if not moments:
        return ()
    reasons = [say(OWN)] * len(notes)
    begins = position_begins(moments, grips)
    ends = [*begins[1:], len(moments)]
    position = -1
    for index, (moment, grip) in enumerate(zip(moments, grips, strict=True)):
        if position + 1 < len(begins) and begins[position + 1] == index:
            position += 1
        for order, places in enumerate(moment.notes):
            if all(notes[place].finger is not None for place in places):
                though = _though(notes, moments, grips, index, order, reach)
                if though:
                    for place in places:
                        reasons[place] = say("the teacher's own finger, though {objection}", objection=though)
                continue
            if moment.single:
                text = _single(notes, moments, grips, index, (begins[position], ends[position]), hand, reach)
            else:
                text = _in_chord(moment, grip, order, hand)
            for place in places:
                if notes[place].finger is None:
                    reasons[place] = text
    return tuple(reasons)


def _single(
    notes: Sequence[Note],
    moments: Sequence[Moment],
    grips: Sequence[tuple[int, ...]],
    index: int,
    position: tuple[int, int],
    hand: Hand,
    reach: int,
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
        return _setting_down(notes, moments, grips, index, position, thumb_follows, hand)
    finger_before = grips[index - 1][0]
    interval = moment.midis[0] - before.midis[0]
    upwards = (interval > 0) == (hand is Hand.RIGHT)
    if interval == 0:
        if finger == finger_before:
            return say("the same finger for the same key")
        if finger == THUMB:
            return say("changes to the thumb on the same key, with room for what follows")
        return say("changes to {finger} on the same key, with room for what follows", finger=finger)
    if turns(moments, grips, index) and not _leaps(finger_before, finger, interval, reach):
        goal = _name(notes, moments[_farthest(moments, index, position[1], interval)])
        turn = say(_TURNS[finger == THUMB, upwards], finger=finger_before if finger == THUMB else finger)
        return turn if goal == name else say("{turn}, on to {key}", turn=turn, key=goal)
    if moment.blacks[0] and finger != THUMB and thumb_follows:
        return say("{finger} avoids a thumb on {key}", finger=finger, key=name)
    if thumb_follows and after is not None:
        return say("{finger} leaves the thumb free for {key}", finger=finger, key=_name(notes, after))
    end = position[1]
    if moment.mate >= 0 and grips[moment.mate][0] == finger:
        alike = (
            to_say("{finger} as on the {key} an octave lower")
            if upwards
            else to_say("{finger} as on the {key} an octave higher")
        )
        return say(alike, finger=finger, key=name)
    steps, apart = abs(steps_between(before, moment)), abs(finger - finger_before)
    if (finger - finger_before) * interval <= 0 or _leaps(finger_before, finger, interval, reach):
        return _aimed(say("the hand is lifted to {key}", key=name), _aim(notes, moments, grips, index, end))
    if steps == apart and steps == 1:
        return say("the next finger for the next step")
    if steps == apart:
        return say("a finger for each step: {finger} lies on {key}", finger=finger, key=name)
    # What the hand opens for lies ahead in the same direction, what it closes for in the other.
    ahead = 1 if interval > 0 else -1
    if steps > apart:
        opens = say("the hand opens from {finger} to reach {key}", finger=finger_before, key=name)
        return _aimed(opens, _aim(notes, moments, grips, index, end, ahead))
    closes = say("the hand closes to bring {finger} to {key}", finger=finger, key=name)
    return _aimed(closes, _aim(notes, moments, grips, index, end, -ahead))


def _leaps(first: int, second: int, interval: int, reach: int) -> bool:
    """Whether two different fingers lie or pass too far apart, so that the hand is lifted from one to the other."""
    if first == second:
        return True
    span = spans_for_reach(reach)[min(first, second), max(first, second)]
    return not span.least_possible <= natural_interval(first, second, interval) <= span.most_possible


def _setting_down(
    notes: Sequence[Note],
    moments: Sequence[Moment],
    grips: Sequence[tuple[int, ...]],
    index: int,
    position: tuple[int, int],
    thumb_follows: bool,
    hand: Hand,
) -> str:
    """Why a finger comes first: by the notes that follow before the hand moves."""
    moment, finger = moments[index], grips[index][0]
    name = _name(notes, moment)
    if moment.blacks[0] and finger != THUMB and thumb_follows:
        return say("{finger} avoids a thumb on {key}", finger=finger, key=name)
    if thumb_follows:
        starts = (
            to_say("starts with the thumb so that the thumb falls on {key}")
            if finger == THUMB
            else to_say("starts with {finger} so that the thumb falls on {key}")
        )
        return say(starts, finger=finger, key=_name(notes, moments[index + 1]))
    begin, end = position
    if index > begin:
        return say("the hand has not moved: {finger} lies on {key}", finger=finger, key=name)
    aim = _aim(notes, moments, grips, index, end)
    if aim is None and moment.blacks[0] and finger not in (THUMB, LITTLE):
        return say("{finger} avoids a thumb on {key}", finger=finger, key=name)
    sets = (
        to_say("sets the hand down with the thumb on {key}")
        if finger == THUMB
        else to_say("sets the hand down with {finger} on {key}")
    )
    down = say(sets, finger=finger, key=name)
    after = moments[index + 1] if index + 1 < len(moments) else None
    if aim is None and after is not None and after.single and after.share == WHOLE and after.midis != moment.midis:
        upwards = (after.midis[0] > moment.midis[0]) == (hand is Hand.RIGHT)
        goes = (
            to_say("{reason}, before it goes up to {key}")
            if upwards
            else to_say("{reason}, before it goes down to {key}")
        )
        return say(goes, reason=down, key=_name(notes, after))
    return _aimed(down, aim)


def _aim(
    notes: Sequence[Note],
    moments: Sequence[Moment],
    grips: Sequence[tuple[int, ...]],
    index: int,
    end: int,
    direction: int = 0,
) -> tuple[int, str] | None:
    """What a choice of finger is good for: a finger, and the outermost key that it plays before the hand moves.

    On the thumb's side where `direction` is negative, on the other where it is positive; where it is 0 on the
    thumb's side if there is one, for that is where a hand runs out of fingers first.
    """
    finger, midi = grips[index][0], moments[index].midis[0]
    here = [place for place in range(index + 1, min(end, index + LOOK_AHEAD)) if moments[place].single]
    below = min(here, key=lambda place: moments[place].midis[0], default=index)
    above = max(here, key=lambda place: moments[place].midis[0], default=index)
    candidates = [(below, -1), (above, 1)] if direction == 0 else [(below, -1) if direction < 0 else (above, 1)]
    for place, side in candidates:
        there = grips[place][0]
        if (moments[place].midis[0] - midi) * side > 0 and (there - finger) * side > 0:
            return there, _name(notes, moments[place])
    return None


def _aimed(reason: str, aim: tuple[int, str] | None) -> str:
    """A reason said, with what it is good for where that is known."""
    if aim is None:
        return reason
    finger, key = aim
    if finger == THUMB:
        return say("{reason}, so that the thumb falls on {key}", reason=reason, key=key)
    return say("{reason}, so that {finger} falls on {key}", reason=reason, finger=finger, key=key)


def _though(
    notes: Sequence[Note],
    moments: Sequence[Moment],
    grips: Sequence[tuple[int, ...]],
    index: int,
    order: int,
    reach: int,
) -> str:
    """What is against a finger of the teacher's, empty where the hand can do it."""
    moment, grip = moments[index], grips[index]
    if not moment.single:
        for other in (order - 1, order + 1):
            if not 0 <= other < len(grip):
                continue
            low, high = sorted((order, other))
            interval = moment.midis[high] - moment.midis[low]
            if grip[low] == grip[high]:
                if grip[low] != THUMB or interval > ONE_THUMB_TAKES:
                    return say("{finger} has two keys at once", finger=grip[order])
            elif grip[low] > grip[high]:
                return say("the fingers of the chord cross")
            elif interval > spans_for_reach(reach)[grip[low], grip[high]].most_possible:
                return say("{finger} and {other_finger} do not reach so far", finger=grip[low], other_finger=grip[high])
        return ""
    before = moments[index - 1] if index else None
    if before is None or not before.single or moment.share < WHOLE:
        return ""
    first, second = grips[index - 1][0], grip[0]
    interval = moment.midis[0] - before.midis[0]
    if interval == 0:
        return ""
    if first == second:
        return say("{finger} jumps here from {key}", finger=second, key=_name(notes, before))
    if turns(moments, grips, index):
        width = -spans_for_reach(reach)[THUMB, max(first, second)].least_possible
        if abs(interval) <= width:
            return ""
        return say("the thumb and {finger} do not pass so far", finger=max(first, second))
    if (second - first) * interval < 0:
        return say("{finger} crosses {other_finger}", finger=second, other_finger=first)
    if abs(interval) > spans_for_reach(reach)[min(first, second), max(first, second)].most_possible:
        return say(
            "{finger} and {other_finger} do not reach so far: the hand is lifted", finger=first, other_finger=second
        )
    return ""


def _in_chord(moment: Moment, grip: tuple[int, ...], order: int, hand: Hand) -> str:
    finger = grip[order]
    if order == 0:
        return say(_ON_THE_OUTER_NOTE[hand, finger == THUMB], finger=finger)
    if grip[order - 1] == finger:
        return say("the thumb takes two keys")
    steps = moment.steps[order] - moment.steps[order - 1]
    if steps == finger - grip[order - 1]:
        text = to_say("a finger for each step from {other_finger} to {finger}")
    elif steps > finger - grip[order - 1]:
        text = to_say("the hand opens between {other_finger} and {finger}")
    else:
        text = to_say("the hand closes between {other_finger} and {finger}")
    return say(text, finger=finger, other_finger=grip[order - 1])


def _farthest(moments: Sequence[Moment], index: int, end: int, interval: int) -> int:
    """The moment to which a line goes on in one direction within a position."""
    while index + 1 < end and (moments[index + 1].midis[0] - moments[index].midis[0]) * interval > 0:
        index += 1
    return index


def _name(notes: Sequence[Note], moment: Moment) -> str:
    return notes[moment.notes[0][0]].pitch.name.symbol
