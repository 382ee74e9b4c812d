"""What to say for the left hand: each chord named, how long it is held, spelled, and how it differs from the last."""

from __future__ import annotations

from collections.abc import Sequence

from core.song.chord import Chord
from core.song.pitch import Pitch
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.keyboard_places import keyboard_place
from core.teaching.left_hand_voicings import Voicing, voicings
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import listed

MOST_MOVED = 2
"""More tones than this are learned sooner as a new chord than as moves from the last one."""


def left_hand_words(song: Song, number: int, names: Names = LETTER_NAMES) -> str:
    """The computed words for the left hand of a part; empty where it has no chords.

    Args:
        song: the song.
        number: part number from 1.
        names: what notes and chords are called.
    """
    part = song.part(number)
    counting = Counting.of(song.metre_at(song.part_onsets[number - 1]))
    sentences: list[str] = []
    before: tuple[Chord, Voicing] | None = None
    end = 0
    for chord, voicing in zip(part.chords, voicings(song, number), strict=True):
        if chord.onset > end:
            sentences.append(f"Wait {counting.words(chord.onset - end)}.")
        end = chord.end
        length = counting.words(chord.duration)
        if chord.symbol.is_silent:
            sentences.append(f"{'Then the' if sentences else 'The'} left hand rests for {length}.")
            continue
        sentences.extend(_chord_words(chord, voicing, before, length, bool(sentences), number, names))
        before = (chord, voicing)
    return " ".join(sentences)


def _chord_words(
    chord: Chord,
    voicing: Voicing,
    before: tuple[Chord, Voicing] | None,
    length: str,
    later: bool,
    number: int,
    names: Names,
) -> list[str]:
    name = names.chord_said(chord.symbol)
    spelled = ", ".join(_spelling(voicing, names))
    then = "Then " if later else ""
    inverted = bool(voicing) and chord.symbol.bass is None and voicing[0].name != chord.symbol.root
    if inverted:
        name = f"{name} with {names.said(voicing[0].name)} at the bottom"
    comma = "," if inverted else ""
    if before is not None and before[0].symbol == chord.symbol:
        return [_capital(f"Then {name} again{comma} for {length}.")]
    held = f", the chord part {number - 1} ends on" if before is None and chord.continued else ""
    said = _capital(f"{then}{name}{comma} for {length}{held}: {spelled}.")
    if before is None:
        return [said, f"The lowest note is the {keyboard_place(voicing[0], names)}."] if voicing else [said]
    change = _change(before[1], voicing, names)
    return [said, change] if change else [said]


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


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
