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
from core.song.phrase import FIELDS, filled, phrase_for
from core.song.song import Song
from core.song.wording import say
from core.teaching.keyboard_places import placed_name
from core.teaching.naming import Names
from core.teaching.number_words import listed


def phrased(
    song: Song,
    kind: str,
    parts: Sequence[int],
    computed: tuple[str, ...],
    play: Sequence[Play],
    settings: LessonSettings,
) -> tuple[str, ...]:
    """What is said in a segment: by the teacher's phrase for its kind, or, where there is none, as computed.

    Args:
        song: the song.
        kind: the kind of segment.
        parts: the numbers of the parts that it is about, at least one.
        computed: the words that are computed, in paragraphs.
        play: what is played, in order.
        settings: how the teacher gives lessons.
    """
    phrase = phrase_for(song.phrases, kind) or phrase_for(settings.segment_phrases, kind)
    if phrase is None:
        return computed
    return with_fields(phrase.text, field_values(song, parts, computed, play, settings))


def with_fields(text: str, values: Mapping[str, str]) -> tuple[str, ...]:
    """A text with its fields filled, in paragraphs."""
    lines = (line.strip() for line in filled(text, values).splitlines())
    return tuple(line for line in lines if line)


def field_values(
    song: Song, parts: Sequence[int], computed: Sequence[str], play: Sequence[Play], settings: LessonSettings
) -> dict[str, str]:
    """What each field is filled with in a segment."""
    first, last = parts[0], parts[-1]
    start, end = song.part_onsets[first - 1], song.part_onsets[last - 1] + song.part(last).duration
    names = Names(settings.way_of_naming, song.key_at(start))
    tempo = play[0].tempo if play else song.tempo_at(start)
    pitches = (note.pitch for number in parts for note in song.part(number).melody if not note.is_grace)
    chords = (chord for number in parts for chord in song.part(number).chords if not chord.symbol.is_silent)
    pitch, chord = next(pitches, None), next(chords, None)
    values = (
        song.title,
        str(first),
        _listed(parts),
        _bars(song, start, end),
        names.key_said(names.key),
        str(round(tempo)),
        say("no note") if pitch is None else placed_name(pitch, names),
        say("no chord") if chord is None else names.chord_said(chord.symbol),
        " ".join(computed),
    )
    return dict(zip(FIELDS, values, strict=True))


def _listed(numbers: Sequence[int]) -> str:
    """Numbers as they are said: '2', '1 and 2', '1 to 4', '1, 3 and 4'."""
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return say("{first} to {last}", first=numbers[0], last=numbers[-1])
    return listed(map(str, numbers))


def _bars(song: Song, start: int, end: int) -> str:
    numbers = sorted(set(_counted(song, start, end)))
    if len(numbers) == 1:
        return str(numbers[0])
    return say("{first} to {last}", first=numbers[0], last=numbers[-1])


def _counted(song: Song, start: int, end: int) -> Iterator[int]:
    """The first and the last bar; a pick-up is no bar of its own where others follow."""
    first, last = bar_at(song.bars, start).number, bar_at(song.bars, end - 1).number
    yield max(first, min(last, 1))
    yield last
