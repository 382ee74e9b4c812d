"""What to say for the left hand: each chord named and spelled, and how it differs from the one before."""

from __future__ import annotations

from collections.abc import Sequence

from core.song.chord import Chord
from core.song.pitch import NoteName, Pitch
from core.song.song import Song
from core.teaching.keyboard_places import keyboard_place
from core.teaching.left_hand_voicings import Voicing, voicings
from core.teaching.number_words import listed
from core.theory.chord_symbols import spoken_chord


def left_hand_words(song: Song, number: int) -> str:
    """The computed words for the left hand of a part; empty where it has no chords.

    Args:
        song: the song.
        number: part number from 1.
    """
    part = song.part(number)
    sentences: list[str] = []
    before: tuple[Chord, Voicing] | None = None
    for chord, voicing in zip(part.chords, voicings(song, number), strict=True):
        if chord.symbol.is_silent:
            sentences.append("Then the left hand rests." if sentences else "The left hand rests at first.")
            continue
        sentences.append(_chord_words(chord, voicing, before, bool(sentences), number))
        before = (chord, voicing)
    return " ".join(sentences)


def _chord_words(chord: Chord, voicing: Voicing, before: tuple[Chord, Voicing] | None, later: bool, number: int) -> str:
    name = spoken_chord(chord.symbol)
    spelled = ", ".join(_names(voicing))
    then = "Then " if later else ""
    inverted = bool(voicing) and chord.symbol.bass is None and voicing[0].name != chord.symbol.root
    if inverted:
        name = f"{name} with {voicing[0].name.spoken} at the bottom"
    if before is None:
        place = f", from the {keyboard_place(voicing[0])}" if voicing else ""
        if chord.continued:
            return f"Keep holding {name} from part {number - 1}: {spelled}."
        return f"{then}{name}: {spelled}{place}."
    last, last_voicing = before
    if last.symbol == chord.symbol:
        return f"Then {name} again."
    return f"{then}{name}: {_change(last_voicing, voicing)}{spelled}."


def _names(voicing: Sequence[Pitch]) -> list[str]:
    """Names from the lowest up, each once."""
    names: list[NoteName] = []
    for pitch in voicing:
        if pitch.name not in names:
            names.append(pitch.name)
    return [name.spoken for name in names]


def _change(before: Voicing, after: Voicing) -> str:
    """How the hand goes from one voicing to the next, where that is simpler than thinking anew."""
    if len(before) != len(after):
        return ""
    steps = {new.staff_step - old.staff_step for old, new in zip(before, after, strict=True)}
    if steps == {1}:
        return "every finger one step higher: "
    if steps == {-1}:
        return "every finger one step lower: "
    kept = [pitch.name.spoken for pitch in after if pitch in before]
    moved = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    if kept and len(kept) + len(moved) == len(after):
        changes = listed([f"{old.name.spoken} to {new.name.spoken}" for old, new in moved])
        return f"keep {listed(kept)}, move {changes}: "
    return ""
