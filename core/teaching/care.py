"""Passages that tire a hand, each with a caution in plain words.

Every caution is general advice and says that a teacher or a clinician knows better. What counts as long is common
practice among teachers and no trial's result; the figures stand beside the constants. That octaves are near the limit
of many hands: an octave is 16.5 cm wide, and 20.1 cm is the mean span of women who play as adults, 22.6 cm that of
men (Boyle, Boyle & Booker 2015, 473 pianists; the second figure seen second-hand). No more than six times in a row
and five minutes at a time are a university's advice on new material (Michigan State University, page on ergonomics
for musicians; advice, not a trial).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from msgspec import Struct

from core.song.hand_profile import HandProfile
from core.song.note import Hand
from core.song.tempo import TempoChange, seconds_between
from core.song.wording import say, say_counted, to_say
from core.teaching.effort_moments import PlayedNote
from core.teaching.hand_names import hand_said

OCTAVE: Final = 12
OCTAVES_IN_A_ROW: Final = 12
"""So many octaves without another way of playing between them are a long passage (common practice)."""
OCTAVES_A_SECOND: Final = 1.0
"""Fewer than this leave the hand time to let go between two of them (common practice)."""
STRETCHES_IN_A_ROW: Final = 8
"""So many chords as wide as the hand reaches, or wider, are a long passage (common practice)."""
STRETCHES_A_SECOND: Final = 0.5
"""Fewer than this leave the hand time to close between two of them (common practice)."""
REPEATS_IN_A_ROW: Final = 12
"""So many strokes of the same keys are a long passage (common practice)."""
REPEATS_A_SECOND: Final = 4.0
"""Slower strokes let the arm rest on the key each time (common practice; single fingers tap five to seven times a
second at the most, from memory)."""
LONGEST_REST: Final = 1.0
"""Seconds of silence in a hand after which it has rested and a passage is over (common practice)."""

ADVICE: Final = to_say(
    "Take a few bars at a time, slowly and lightly, no more than six times in a row, and stop before the hand is tired "
    "or if it hurts. This is general advice: a teacher who sees the hand, or a clinician, knows better."
)


class Caution(Struct, frozen=True):
    """A passage to be careful with.

    Attributes:
        onset: tick of its first stroke.
        end: tick at which its last one ends.
        hand: the hand that plays it.
        kind: ``octaves``, ``wide stretches`` or ``fast repeats``.
        strokes: how many there are.
        seconds: how long it lasts.
    """

    onset: int
    end: int
    hand: Hand
    kind: str
    strokes: int
    seconds: float

    def sentence(self, first_bar: int, last_bar: int) -> str:
        """The caution in plain words.

        Args:
            first_bar: number of the bar in which the passage begins.
            last_bar: number of the one in which it ends.
        """
        told = say(_KINDS[self.kind].words, hand=hand_said(self.hand))
        if first_bar == last_bar:
            return say_counted(
                "Bar {bar}: {passage}, {count} in a row. {advice}",
                "Bar {bar}: {passage}, {count} in a row. {advice}",
                self.strokes,
                bar=first_bar,
                passage=told,
                advice=say(ADVICE),
            )
        return say_counted(
            "Bars {first_bar} to {last_bar}: {passage}, {count} in a row. {advice}",
            "Bars {first_bar} to {last_bar}: {passage}, {count} in a row. {advice}",
            self.strokes,
            first_bar=first_bar,
            last_bar=last_bar,
            passage=told,
            advice=say(ADVICE),
        )


class _Stroke(Struct, frozen=True):
    """What one hand strikes at once."""

    onset: int
    end: int
    keys: tuple[int, ...]
    reach: int

    @property
    def width(self) -> int:
        return self.keys[-1] - self.keys[0]


class _Kind(Struct, frozen=True):
    """A way of playing that tires.

    Attributes:
        words: how a caution tells it.
        belongs: whether a stroke is played so, by itself and along with the one before.
        least: so many strokes are a long passage.
        rate: strokes a second, below which it does not tire.
    """

    words: str
    belongs: Callable[[_Stroke, _Stroke | None], bool]
    least: int
    rate: float


_KINDS: Final = {
    "octaves": _Kind(
        to_say("{hand} plays octaves"),
        lambda stroke, _before: stroke.width == OCTAVE,
        OCTAVES_IN_A_ROW,
        OCTAVES_A_SECOND,
    ),
    "wide stretches": _Kind(
        to_say("{hand} plays chords as wide as it reaches"),
        lambda stroke, _before: stroke.width >= stroke.reach and stroke.width != OCTAVE,
        STRETCHES_IN_A_ROW,
        STRETCHES_A_SECOND,
    ),
    "fast repeats": _Kind(
        to_say("{hand} strikes the same keys again and again, fast"),
        lambda stroke, before: before is None or before.keys == stroke.keys,
        REPEATS_IN_A_ROW,
        REPEATS_A_SECOND,
    ),
}


def cautions(notes: Iterable[PlayedNote], profile: HandProfile, tempos: Sequence[TempoChange]) -> tuple[Caution, ...]:
    """The passages of both hands that deserve a caution.

    Args:
        notes: notes as they are played, in any order, with onsets from the start of the tempo changes.
        profile: what the hands reach.
        tempos: the tempo changes, the first at 0.

    Returns:
        The passages in order of their onsets.
    """
    by_hand: dict[Hand, list[PlayedNote]] = {hand: [] for hand in Hand}
    for note in notes:
        if note.duration:
            by_hand[note.hand].append(note)
    found = [
        caution
        for hand, played in by_hand.items()
        for kind in _KINDS
        for caution in _passages(_strokes(played, profile.reach(hand)), hand, kind, tempos)
    ]
    return tuple(sorted(found, key=lambda caution: (caution.onset, caution.hand.value, caution.kind)))


def _strokes(notes: Sequence[PlayedNote], reach: int) -> list[_Stroke]:
    struck: dict[int, list[PlayedNote]] = {}
    for note in notes:
        struck.setdefault(note.onset, []).append(note)
    return [
        _Stroke(
            onset,
            max(note.onset + note.duration for note in together),
            tuple(sorted({note.midi for note in together})),
            reach,
        )
        for onset, together in sorted(struck.items())
    ]


def _passages(strokes: Sequence[_Stroke], hand: Hand, kind: str, tempos: Sequence[TempoChange]) -> list[Caution]:
    rule = _KINDS[kind]
    found: list[Caution] = []
    run: list[_Stroke] = []

    def close() -> None:
        if len(run) >= rule.least:
            found.append(
                Caution(
                    run[0].onset,
                    max(stroke.end for stroke in run),
                    hand,
                    kind,
                    len(run),
                    seconds_between(tempos, run[0].onset, max(stroke.end for stroke in run)),
                )
            )
        run.clear()

    for stroke in strokes:
        if run and not (rule.belongs(stroke, run[-1]) and _goes_on(run[-1], stroke, rule.rate, tempos)):
            close()
        if rule.belongs(stroke, run[-1] if run else None):
            run.append(stroke)
    close()
    return found


def _goes_on(before: _Stroke, stroke: _Stroke, rate: float, tempos: Sequence[TempoChange]) -> bool:
    """Whether the hand goes from one stroke to the next without rest and at a tiring rate."""
    return (
        seconds_between(tempos, before.onset, stroke.onset) <= 1.0 / rate + 1e-9
        and seconds_between(tempos, before.end, stroke.onset) < LONGEST_REST
    )
