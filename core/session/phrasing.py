"""What is said in a segment by the teacher's own phrases, those of the lesson before those of all lessons.

Fields are filled with: ``title`` of the song; ``part``, the number of the (first) part; ``parts``, their numbers
('1 to 4'); ``bars``, the numbers of the first and the last bar; ``key`` that the segment begins in; ``tempo`` of what
is played first, in quarter notes a minute; ``start note`` of the right hand with its place on the keyboard; ``first
chord``; ``words``, what would be said without the phrase.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from core.session.lesson_settings import LessonSettings
from core.session.timing import Play
from core.song.metre import bar_at
from core.song.phrase import filled, phrase_for
from core.song.song import Song
from core.teaching.keyboard_places import placed_name
from core.teaching.naming import Names

NO_NOTE = "no note"
NO_CHORD = "no chord"


def phrased(
    song: Song,
    kind: str,
    parts: Sequence[int],
    say: tuple[str, ...],
    play: Sequence[Play],
    settings: LessonSettings,
) -> tuple[str, ...]:
    """What is said in a segment: by the teacher's phrase for its kind, or, where there is none, as computed.

    Args:
        song: the song.
        kind: the kind of segment.
        parts: the numbers of the parts that it is about, at least one.
        say: the computed words, in paragraphs.
        play: what is played, in order.
        settings: how the teacher gives lessons.
    """
    phrase = phrase_for(song.phrases, kind) or phrase_for(settings.segment_phrases, kind)
    if phrase is None:
        return say
    return with_fields(phrase.text, field_values(song, parts, say, play, settings))


def with_fields(text: str, values: Mapping[str, str]) -> tuple[str, ...]:
    """A text with its fields filled, in paragraphs."""
    lines = (line.strip() for line in filled(text, values).splitlines())
    return tuple(line for line in lines if line)


def field_values(
    song: Song, parts: Sequence[int], say: Sequence[str], play: Sequence[Play], settings: LessonSettings
) -> dict[str, str]:
    """What each field is filled with in a segment."""
    first, last = parts[0], parts[-1]
    start, end = song.part_onsets[first - 1], song.part_onsets[last - 1] + song.part(last).duration
    names = Names(settings.way_of_naming, song.key_at(start))
    tempo = play[0].tempo if play else song.tempo_at(start)
    pitches = (note.pitch for number in parts for note in song.part(number).melody if not note.is_grace)
    chords = (chord for number in parts for chord in song.part(number).chords if not chord.symbol.is_silent)
    pitch, chord = next(pitches, None), next(chords, None)
    return {
        "title": song.title,
        "part": str(first),
        "parts": _listed(parts),
        "bars": _bars(song, start, end),
        "key": names.key_said(names.key),
        "tempo": str(round(tempo)),
        "start note": NO_NOTE if pitch is None else placed_name(pitch, names),
        "first chord": NO_CHORD if chord is None else names.chord_said(chord.symbol),
        "words": " ".join(say),
    }


def _listed(numbers: Sequence[int]) -> str:
    """Numbers as they are said: '2', '1 and 2', '1 to 4', '1, 3 and 4'."""
    texts = list(map(str, numbers))
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"{texts[0]} to {texts[-1]}"
    return " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))


def _bars(song: Song, start: int, end: int) -> str:
    numbers = sorted(set(_counted(song, start, end)))
    return str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}"


def _counted(song: Song, start: int, end: int) -> Iterator[int]:
    """The first and the last bar; a pick-up is no bar of its own where others follow."""
    first, last = bar_at(song.bars, start).number, bar_at(song.bars, end - 1).number
    yield max(first, min(last, 1))
    yield last
