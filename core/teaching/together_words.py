"""What to say for both hands together: which note each chord lands on, or how it lands alone."""

from __future__ import annotations

from core.song.note import Note
from core.song.part import Part
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.landings import Landing, landings
from core.teaching.number_words import ordinal_word
from core.theory.chord_symbols import spoken_chord


def together_words(song: Song, number: int) -> str:
    """The computed words for both hands of a part; empty where it has no chords or no melody.

    Args:
        song: the song.
        number: part number from 1.
    """
    part = song.part(number)
    if not part.chords or not part.melody:
        return ""
    counting = Counting.of(song.metre_at(song.part_onsets[number - 1]))
    sentences: list[str] = []
    if part.chords[0].continued:
        name = spoken_chord(part.chords[0].symbol)
        sentences.append(f"{name} is still held from part {number - 1}.")
    for landing in landings(part):
        sentences.append(_landing_words(part, landing, counting, bool(sentences)))
    return " ".join(sentences)


def _landing_words(part: Part, landing: Landing, counting: Counting, later: bool) -> str:
    name = spoken_chord(part.chords[landing.chord].symbol)
    then = "Then " if later else ""
    if landing.note is not None:
        return f"{then}{name} lands with the {_which(part, part.notes[landing.note])}."
    melody = [note for note in part.melody if not note.is_grace]
    held = next((note for note in melody if note.onset < landing.onset < note.end), None)
    following = next((note for note in melody if note.onset > landing.onset), None)
    while_held = f" while you hold the {_which(part, held)}" if held is not None else ""
    if following is not None:
        distance = counting.words(following.onset - landing.onset)
        return f"{then}{name} lands alone{while_held}, {distance} before the {_which(part, following)}."
    if held is None and melody:
        distance = counting.words(landing.onset - melody[-1].onset)
        return f"{then}{name} lands alone, {distance} after the {_which(part, melody[-1])}."
    return f"{then}{name} lands alone{while_held}."


def _which(part: Part, note: Note) -> str:
    """A melody note told from others of its name: 'C sharp', 'first E', 'last B'."""
    same = [other for other in part.melody if other.pitch.name == note.pitch.name]
    name = note.pitch.name.spoken
    if len(same) == 1:
        return name
    place = same.index(note)
    return f"last {name}" if place == len(same) - 1 else f"{ordinal_word(place + 1)} {name}"
