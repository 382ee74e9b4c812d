"""What to say for the left hand: each chord named, how long it is held, spelled, and how it differs from the last.

A length that several chords in a row share is said once, before them. A chord that comes back as it was taken before
is not spelled again. A left hand that is written out, with no chords, is told like the right hand, note by note.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from core.song.chord import Chord
from core.song.note import Hand
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.wording import say, say_counted, to_say
from core.teaching.counting import Counting
from core.teaching.keyboard_places import keyboard_place
from core.teaching.left_hand_voicings import Voicing, voicings
from core.teaching.line_words import LineTelling
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import listed, number_word
from core.teaching.sentences import LONGEST_SENTENCE, capital, word_count
from core.teaching.strikes import strikes

MOST_MOVED: Final = 2
"""More tones than this are learned sooner as a new chord than as moves from the last one."""


class _Placed(Struct, frozen=True):
    """A chord with where the hand takes it, and how long to wait before it."""

    chord: Chord
    voicing: Voicing
    wait: int


def left_hand_words(song: Song, number: int, names: Names = LETTER_NAMES) -> str:
    """The computed words for the left hand of a part; empty where it has neither chords nor notes.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes and chords are called.
    """
    part = song.part(number)
    counting = Counting.of(song.metre_at(song.part_onsets[number - 1]))
    if not part.chords:
        struck = strikes(part.hand(Hand.LEFT), counting)
        return " ".join(LineTelling(struck, counting, names).sentences()) if struck else ""
    placed: list[_Placed] = []
    end = 0
    for chord, voicing in zip(part.chords, voicings(song, number), strict=True):
        placed.append(_Placed(chord, voicing, chord.onset - end))
        end = chord.end
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
                self._sentences.append(say("Wait {length}.", length=self._counting.words(first.wait)))
            length = self._counting.words(first.chord.duration)
            if first.chord.symbol.is_silent:
                if self._sentences:
                    self._sentences.append(say("Then the left hand rests for {length}.", length=length))
                else:
                    self._sentences.append(say("The left hand rests for {length}.", length=length))
                continue
            shared = len(run) > 1
            if shared:
                self._sentences.append(capital(_so_many_for(len(run), length, later=bool(self._sentences))))
            self._tell(run, "" if shared else length)
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
        around = word_count([_again("·", length, later=True)]) - 1
        for end in range(1, len(chords) + 1):
            if end == len(chords) or word_count(chords[start : end + 1]) + around > LONGEST_SENTENCE:
                later = not opens or bool(start)
                self._sentences.append(capital(_again(listed(chords[start:end]), length, later=later)))
                start = end

    def _new(self, placed: _Placed, length: str, opens: bool) -> list[str]:
        """A chord that is met for the first time in the part."""
        chord, voicing, names = placed.chord, placed.voicing, self._names
        inverted = bool(voicing) and chord.symbol.bass is None and voicing[0].name != chord.symbol.root
        name = names.chord_said(chord.symbol)
        if inverted:
            name = say("{chord} with {note} at the bottom", chord=name, note=names.said(voicing[0].name))
        if length:
            held = to_say("{chord}, for {length}") if inverted else to_say("{chord} for {length}")
            name = say(held, chord=name, length=length)
        told = _Told(name, ", ".join(_spelling(voicing, names)), later=not opens)
        if self._before is not None:
            change = _change(self._before.voicing, voicing, names)
            return [told.spelled(), change] if change else [told.spelled()]
        if not voicing:
            return [told.spelled()]
        place = keyboard_place(voicing[0], names)
        if not chord.continued:
            whole = told.spelled_from(place)
            apart = [told.spelled(), say("The lowest key is the {place}.", place=place)]
        else:
            last = self._number - 1
            whole = told.spelled_on_from(last, place)
            apart = [told.as_before(last), say("It is {tones}, up from the {place}.", tones=told.tones, place=place)]
        return [whole] if word_count([whole]) <= LONGEST_SENTENCE else apart


class _Told(Struct, frozen=True):
    """A chord as it is told: its name with its length, its tones, and whether something was said before it."""

    chord: str
    tones: str
    later: bool

    def spelled(self) -> str:
        """The chord with its tones."""
        text = to_say("then {chord}: {tones}.") if self.later else to_say("{chord}: {tones}.")
        return capital(say(text, chord=self.chord, tones=self.tones))

    def spelled_from(self, place: str) -> str:
        """The chord with its tones, and where the lowest of them lies."""
        text = (
            to_say("then {chord}: {tones}, up from the {place}.")
            if self.later
            else to_say("{chord}: {tones}, up from the {place}.")
        )
        return capital(say(text, chord=self.chord, tones=self.tones, place=place))

    def spelled_on_from(self, part: int, place: str) -> str:
        """The same for a chord that another part ends on."""
        text = (
            to_say("then {chord}, the chord part {part} ends on: {tones}, up from the {place}.")
            if self.later
            else to_say("{chord}, the chord part {part} ends on: {tones}, up from the {place}.")
        )
        return capital(say(text, chord=self.chord, part=part, tones=self.tones, place=place))

    def as_before(self, part: int) -> str:
        """The chord as one that another part ends on."""
        text = (
            to_say("then {chord}, as at the end of part {part}.")
            if self.later
            else to_say("{chord}, as at the end of part {part}.")
        )
        return capital(say(text, chord=self.chord, part=part))


def _so_many_for(count: int, length: str, *, later: bool) -> str:
    """How many chords are equally long."""
    number = number_word(count)
    if later:
        return say_counted(
            "Then {number} chord for {length}.",
            "Then {number} chords, each for {length}.",
            count,
            number=number,
            length=length,
        )
    return say_counted(
        "{number} chord for {length}.", "{number} chords, each for {length}.", count, number=number, length=length
    )


def _again(chords: str, length: str, *, later: bool) -> str:
    """Chords that come back; the length is empty where it was said before."""
    if not length:
        return say("Then {chords} again.", chords=chords) if later else say("{chords} again.", chords=chords)
    text = to_say("Then {chords} again for {length}.") if later else to_say("{chords} again for {length}.")
    return say(text, chords=chords, length=length)


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
        return say("Every finger moves one step up.")
    if steps == {-1}:
        return say("Every finger moves one step down.")
    kept = [names.said(pitch.name) for pitch in after if pitch in before]
    moved = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    if len(moved) <= min(MOST_MOVED, len(kept)) and len(kept) + len(moved) == len(after):
        changes = listed(
            say("{old} to {new}", old=names.said(old.name), new=names.said(new.name)) for old, new in moved
        )
        return say("Keep {notes}, move {changes}.", notes=listed(kept), changes=changes)
    return ""
