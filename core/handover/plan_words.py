"""The words of a session plan beside what is said: facts, what to play, how long, where the hands lie."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from core.arranging.left_hand import left_hand
from core.session.asides import asides_seconds
from core.session.lesson_settings import LessonSettings
from core.session.running_order import Segment, total_seconds
from core.session.timing import Play
from core.song.metre import Metre
from core.song.note import Hand
from core.song.pitch import MIDDLE_C, Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.keyboard_places import keyboard_place
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import number_word

CARE: Final = "Stop if anything hurts; rest ten minutes in every hour of playing. General advice, not medical advice."
"""Ten minutes' rest an hour: performing-arts medicine's lists for instrumentalists (J. Horvath, among others)."""
CLEAR_RIGHTS: Final = "Rights: nothing noted; clear them before anything is published or sold."
READ_AGAIN: Final = "The notes have changed since these words were written; read them again."
STEPS_IN_OCTAVE: Final = 7


def clock(seconds: float) -> str:
    """A time as ``6:33``, from an hour on as ``1:06:33``."""
    whole = round(seconds)
    minutes, rest = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def lasts(segment: Segment) -> str:
    """How long a segment lasts, so that the table's times add up."""
    return clock(round(segment.start + segment.seconds) - round(segment.start))


def figure(value: float) -> str:
    """A number without needless decimals: 84, 61.5."""
    return f"{value:.1f}".rstrip("0").rstrip(".")


def felt_tempo(bpm: float, metre: Metre) -> float:
    """A tempo in the beats a player counts (dotted ones in a compound metre), from quarter notes a minute."""
    return bpm * TICKS_PER_QUARTER / metre.beat_ticks if metre.is_compound else bpm


def bpm(value: float, metre: Metre) -> str:
    """A tempo as a figure: whole in a compound metre, where a third of a beat means nothing."""
    felt = felt_tempo(value, metre)
    return str(round(felt)) if metre.is_compound else figure(felt)


def span(numbers: Sequence[int]) -> str:
    """Part numbers: ``part 2``, ``parts 1–3``, ``parts 1, 3``."""
    if len(numbers) == 1:
        return f"part {numbers[0]}"
    if list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"parts {numbers[0]}–{numbers[-1]}"
    return "parts " + ", ".join(map(str, numbers))


def parts_played(song: Song, play: Play) -> tuple[int, ...]:
    """Numbers of the parts that a play goes through."""
    return tuple(range(song.part_at(play.start), song.part_at(play.end - 1) + 1))


def what_to_play(song: Song, segment: Segment) -> str:
    """What is played in a segment: ``right, 56, twice`` or ``parts 1–3, then 1–2, both, 84``; empty for nothing.

    The parts are named where the segment's title does not name them.
    """
    if not segment.play:
        return ""
    first = segment.play[0]
    words: list[str] = []
    if len(segment.play) > 1 or segment.kind in ("opening", "embellishment"):
        spans = [span(parts_played(song, play)) for play in segment.play]
        shorter = [name.removeprefix("parts ").removeprefix("part ") for name in spans[1:]]
        words.append(", then ".join([spans[0], *shorter]))
    words.append(first.hands)
    tempos = dict.fromkeys(bpm(play.tempo, song.metre_at(play.start)) for play in segment.play)
    words.append(" and ".join(tempos))
    if first.times > 1:
        words.append("twice" if first.times == 2 else f"{number_word(first.times)} times")
    return ", ".join(words)


def facts_of(song: Song, segments: Sequence[Segment], settings: LessonSettings, names: Names = LETTER_NAMES) -> str:
    """Key, metre, tempo as written and as taught, extent, running time, and what all asides would add to it."""
    metre = song.metre
    taught = sorted({play.tempo for segment in segments if segment.kind == "right_hand" for play in segment.play})
    tempo = f"{bpm(song.tempo, metre)} bpm"
    if metre.is_compound:
        tempo = f"{bpm(song.tempo, metre)} dotted beats a minute"
    if taught and taught[-1] < song.tempo:
        speeds = dict.fromkeys((bpm(taught[0], metre), bpm(taught[-1], metre)))
        tempo += f", taught at {'–'.join(speeds)}"
    bars = sum(1 for bar in song.bars if bar.number)
    extent = [song.section, counted(bars, "bar"), counted(len(song.parts), "part")]
    facts = [
        names.key_shown(song.key),
        str(metre),
        tempo,
        ", ".join(filter(None, extent)),
        clock(total_seconds(segments)),
    ]
    asides = [aside for segment in segments for aside in segment.asides]
    if asides:
        facts.append(f"{clock(asides_seconds(asides, settings))} more with every aside")
    return " · ".join(["Session plan", *facts])


def credits_of(song: Song) -> str:
    """Who wrote it, and the note of rights or a reminder to clear them."""
    rights = f"Rights: {song.rights.strip().rstrip('.')}." if song.rights.strip() else CLEAR_RIGHTS
    return f"{song.composer.strip()} · {rights}" if song.composer.strip() else rights


def counted(count: int, noun: str) -> str:
    """A count with its noun."""
    return f"{count} {noun}{'' if count == 1 else 's'}"


def hand_pitches(song: Song) -> dict[Hand, tuple[Pitch, ...]]:
    """Every pitch each hand plays in the plain version, lowest first."""
    right = {note.pitch for part in song.parts for note in part.melody}
    left = {note.pitch for number in range(1, len(song.parts) + 1) for note in left_hand(song, number)}
    return {
        hand: tuple(sorted(pitches, key=lambda pitch: (pitch.midi, pitch.staff_step)))
        for hand, pitches in ((Hand.RIGHT, right), (Hand.LEFT, left))
        if pitches
    }


def where_hands_lie(pitches: dict[Hand, tuple[Pitch, ...]], names: Names = LETTER_NAMES) -> str:
    """Where the hands lie, in a line: ``Right hand from the E above middle C up to D · left hand …``."""
    words = [
        f"{hand.value} hand {_reach(pitches[hand][0], pitches[hand][-1], names.places)}"
        for hand in (Hand.RIGHT, Hand.LEFT)
        if hand in pitches
    ]
    line = " · ".join(words)
    return line[:1].upper() + line[1:]


def _reach(lowest: Pitch, highest: Pitch, names: Names) -> str:
    if lowest.midi == highest.midi:
        return f"on {_place(lowest, names)}"
    within = 0 < highest.staff_step - lowest.staff_step < STEPS_IN_OCTAVE
    return f"from {_place(lowest, names)} up to {names.said(highest.name) if within else _place(highest, names)}"


def _place(pitch: Pitch, names: Names) -> str:
    return names.middle_c if pitch == MIDDLE_C else f"the {keyboard_place(pitch, names)}"


def review_of(song: Song, segment: Segment) -> str:
    """A reminder where the segment's own words are older than its notes; else empty."""
    for number in segment.parts if segment.kind in ("right_hand", "left_hand", "together") else ():
        words = song.part(number).teaching.words_for(segment.kind)
        if words is not None and words.review:
            return READ_AGAIN
    return ""


def joined(sentences: Iterable[str]) -> str:
    """What is said, as one text."""
    return " ".join(sentences)
