"""What to say for the left hand: each chord named, how long it is held, spelled, and how it differs from the last.

A length that several chords in a row share is said once, before them. A chord that comes back as it was taken before
is not spelled again.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.chord import Chord
from core.song.pitch import Pitch
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.keyboard_places import keyboard_place
from core.teaching.left_hand_voicings import Voicing, voicings
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import listed, number_word
from core.teaching.sentences import LONGEST_SENTENCE, capital

MOST_MOVED: Final = 2
"""More tones than this are learned sooner as a new chord than as moves from the last one."""


class _Placed(Struct, frozen=True):
    """A chord with where the hand takes it, and how long to wait before it."""

    chord: Chord
    voicing: Voicing
    wait: int


def left_hand_words(song: Song, number: int, names: Names = LETTER_NAMES) -> str:
    """The computed words for the left hand of a part; empty where it has no chords.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes and chords are called.
    """
    part = song.part(number)
    placed: list[_Placed] = []
    end = 0
    for chord, voicing in zip(part.chords, voicings(song, number), strict=True):
        placed.append(_Placed(chord, voicing, chord.onset - end))
        end = chord.end
    counting = Counting.of(song.metre_at(song.part_onsets[number - 1]))
    return " ".join(_Telling(counting, names, number).sentences(placed))


class _Telling:
    """The chords of one part being told."""

    def __init__(self, counting: Counting, names: Names, number: int) -> None:
        self._counting = counting
        self._names = names
        self._number = number
        self._sentences: list[str] = []
        self._known: set[tuple[object, Voicing]] = set()
        self._before: _Placed | None = None

    def sentences(self, placed: Sequence[_Placed]) -> list[str]:
        """The chords in sentences."""
        for run in _runs(placed):
            first = run[0]
            if first.wait:
                self._sentences.append(f"Wait {self._counting.words(first.wait)}.")
            length = self._counting.words(first.chord.duration)
            if first.chord.symbol.is_silent:
                self._sentences.append(f"{'Then the' if self._sentences else 'The'} left hand rests for {length}.")
                continue
            shared = len(run) > 1
            if shared:
                said = f"{number_word(len(run))} chords, each for {length}."
                self._sentences.append(f"Then {said}" if self._sentences else capital(said))
            self._tell(run, "" if shared else f" for {length}")
        return self._sentences

    def _tell(self, run: Sequence[_Placed], length: str) -> None:
        again: list[str] = []
        for place, placed in enumerate(run):
            taken = (placed.chord.symbol, placed.voicing)
            if taken in self._known:
                again.append(self._names.chord_said(placed.chord.symbol))
            else:
                self._tell_again(again, "", opens=not length and len(again) == place)
                again = []
                opens = not self._sentences or (not length and not place)
                self._sentences.extend(self._new(placed, length, opens))
                self._known.add(taken)
            self._before = placed
        self._tell_again(again, length, opens=not length and len(again) == len(run))

    def _tell_again(self, chords: Sequence[str], length: str, opens: bool) -> None:
        """Chords that come back, as many to a sentence as can be said."""
        start = 0
        for end in range(1, len(chords) + 1):
            spoken = sum(len(chord.split()) for chord in chords[start : end + 1])
            if end == len(chords) or spoken + 2 + len(length.split()) > LONGEST_SENTENCE:
                told = f"{listed(list(chords[start:end]))} again{length}."
                self._sentences.append(capital(told) if opens and not start else f"Then {told}")
                start = end

    def _new(self, placed: _Placed, length: str, opens: bool) -> list[str]:
        """A chord that is met for the first time in the part."""
        chord, voicing, names = placed.chord, placed.voicing, self._names
        inverted = bool(voicing) and chord.symbol.bass is None and voicing[0].name != chord.symbol.root
        name = names.chord_said(chord.symbol)
        if inverted:
            name = f"{name} with {names.said(voicing[0].name)} at the bottom"
        comma = "," if inverted and length else ""
        spelled = ", ".join(_spelling(voicing, names))
        told = f"{'' if opens else 'then '}{name}{comma}{length}"
        if self._before is not None:
            change = _change(self._before.voicing, voicing, names)
            return [capital(f"{told}: {spelled}."), change] if change else [capital(f"{told}: {spelled}.")]
        if not voicing:
            return [capital(f"{told}: {spelled}.")]
        place = f"the {keyboard_place(voicing[0], names)}"
        up_from = f"{spelled}, up from {place}."
        if not chord.continued:
            whole, apart = f"{told}: {up_from}", (f"{told}: {spelled}.", f"The lowest key is {place}.")
        else:
            last = self._number - 1
            whole = f"{told}, the chord part {last} ends on: {up_from}"
            apart = (f"{told}, as at the end of part {last}.", f"It is {up_from}")
        return [capital(whole)] if len(whole.split()) <= LONGEST_SENTENCE else list(map(capital, apart))


def _runs(placed: Sequence[_Placed]) -> list[list[_Placed]]:
    """Chords in a row that are equally long, with no wait between them; a rest is alone."""
    runs: list[list[_Placed]] = []
    for one in placed:
        last = runs[-1][-1].chord if runs else None
        joins = (
            last is not None
            and not one.wait
            and not one.chord.symbol.is_silent
            and not last.symbol.is_silent
            and one.chord.duration == last.duration
        )
        if joins:
            runs[-1].append(one)
        else:
            runs.append([one])
    return runs


def _spelling(voicing: Sequence[Pitch], names: Names) -> list[str]:
    """Names from the lowest up, each once."""
    return list(dict.fromkeys(names.said(pitch.name) for pitch in voicing))


def _change(before: Voicing, after: Voicing, names: Names) -> str:
    """How the hand goes from one voicing to the next, where that is simpler than thinking anew."""
    if len(before) != len(after):
        return ""
    steps = {new.staff_step - old.staff_step for old, new in zip(before, after, strict=True)}
    if steps == {1}:
        return "Every finger moves one step up."
    if steps == {-1}:
        return "Every finger moves one step down."
    kept = [names.said(pitch.name) for pitch in after if pitch in before]
    moved = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    if len(moved) <= min(MOST_MOVED, len(kept)) and len(kept) + len(moved) == len(after):
        changes = listed([f"{names.said(old.name)} to {names.said(new.name)}" for old, new in moved])
        return f"Keep {listed(kept)}, move {changes}."
    return ""
