"""What a song costs in each of the twelve keys, and which key suits the hands and a singer.

In every key the song is written anew, its chords are placed under the left hand anew, and both hands are fingered
anew. The effort is that of `song_effort`, moved by what the fingering costs more or less than in the song's own key:
a point of the fingering's cost a note is worth `EFFORT_OF_A_FINGERING_POINT`.

Only black keys tell one key from another where the left hand is written out. So a passage is fingered once for every
pattern of black and white that it takes in the twelve keys, and a passage that comes back is not fingered again.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec.structs import replace

from core.edits.transpose import transpose
from core.session.key_passages import HandsInKey, Passages, hands_in
from core.session.key_reasons import KeyEffort, Met, reason_for_key
from core.song.errors import EditError
from core.song.key import Key
from core.song.pitch import Pitch
from core.song.song import Song
from core.teaching.effort import Causes, effort_moved, effort_of

__all__ = ["KeyEffort", "best_key", "twelve_keys"]

EFFORT_OF_A_FINGERING_POINT: Final = 4.0
"""So that fingering alone moves a key by a few points of effort, as one black key more or less does."""


def twelve_keys(song: Song, lowest: Pitch | None = None, highest: Pitch | None = None) -> tuple[KeyEffort, ...]:
    """The song in the keys on every tonic from C up to B, in its mode; a key that leaves the keyboard is left out.

    Args:
        song: the song.
        lowest: the lowest note that a singer sings comfortably, or None for no bound.
        highest: the highest.
    """
    passages = Passages(song.hands)
    own = hands_in(song, passages)
    placed: list[tuple[Key, HandsInKey]] = []
    for pitch_class in range(12):
        try:
            moved = transpose(song, pitch_class)
        except EditError:
            continue
        placed.append((moved.key, own if moved is song else hands_in(moved, passages)))
    found: list[KeyEffort] = []
    efforts = _efforts(song, own, [hands for _, hands in placed])
    for (key, hands), (total, _) in zip(placed, efforts, strict=True):
        strain = EFFORT_OF_A_FINGERING_POINT * (hands.fingering - own.fingering)
        low, high = hands.melody if hands.melody is not None else (None, None)
        fits = _fits(low, high, lowest, highest)
        effort = min(100.0, max(0.0, total + strain))
        found.append(KeyEffort(key, effort, hands is own, fits=fits, lowest=low, highest=high))
    best = min((choice for choice in found if choice.fits), key=lambda choice: _order(song, choice), default=None)
    met = [Met(hands, causes) for (_, hands), (_, causes) in zip(placed, efforts, strict=True)]
    at_home = next(place for place, choice in enumerate(found) if choice.is_own)
    singer = lowest is not None or highest is not None
    return tuple(
        replace(
            choice,
            is_best=choice is best,
            reason=reason_for_key(replace(choice, is_best=choice is best), here, found[at_home], met[at_home], singer),
        )
        for choice, here in zip(found, met, strict=True)
    )


def best_key(choices: Sequence[KeyEffort]) -> KeyEffort | None:
    """The easiest key that fits the singer; None where none fits."""
    return next((choice for choice in choices if choice.is_best), None)


def _fits(low: Pitch | None, high: Pitch | None, lowest: Pitch | None, highest: Pitch | None) -> bool:
    if low is None or high is None:
        return True
    return (lowest is None or low.midi >= lowest.midi) and (highest is None or high.midi <= highest.midi)


def _efforts(song: Song, own: HandsInKey, placed: Sequence[HandsInKey]) -> list[tuple[float, Causes]]:
    """Total and causes in each key; the keys that only move the notes share all but the black keys."""
    moves = [hands.moved_from(own) for hands in placed]
    intervals = sorted({move for move in moves if move is not None})
    moved = dict(zip(intervals, effort_moved(own.played, song.tempo, song.bars, intervals), strict=True))
    found: list[tuple[float, Causes]] = []
    for hands, move in zip(placed, moves, strict=True):
        if move is not None:
            found.append(moved[move])
        else:
            effort = effort_of(hands.played, song.tempo, song.bars)
            found.append((effort.total, effort.causes))
    return found


def _order(song: Song, choice: KeyEffort) -> tuple[float, int]:
    """The lower the easier; of keys equal to a tenth the one whose tonic is nearest to the song's own."""
    away = (choice.key.tonic.pitch_class - song.key.tonic.pitch_class) % 12
    return round(choice.effort, 1), min(away, 12 - away)
