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
from core.song.wording import say, say_counted, say_in, to_say, to_say_in
from core.teaching.keyboard_places import keyboard_place
from core.teaching.naming import LETTER_NAMES, Names
from core.teaching.number_words import times_word
from core.teaching.sentences import capital

CARE: Final = to_say(
    "Stop if anything hurts; rest ten minutes in every hour of playing. General advice, not medical advice."
)
"""Ten minutes' rest an hour: performing-arts medicine's lists for instrumentalists (J. Horvath, among others)."""
CLEAR_RIGHTS: Final = to_say("Rights: nothing noted; clear them before anything is published or sold.")
READ_AGAIN: Final = to_say("The notes have changed since these words were written; read them again.")
STEPS_IN_OCTAVE: Final = 7
HANDS: Final = {
    "right": to_say_in("which hands play", "right"),
    "left": to_say_in("which hands play", "left"),
    "both": to_say_in("which hands play", "both"),
}


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
        return say("part {part}", part=numbers[0])
    return say("parts {parts}", parts=_figures(numbers))


def _figures(numbers: Sequence[int]) -> str:
    if len(numbers) > 1 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]}–{numbers[-1]}"
    return ", ".join(map(str, numbers))


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
        played = span(parts_played(song, first))
        for play in segment.play[1:]:
            played = say("{parts}, then {numbers}", parts=played, numbers=_figures(parts_played(song, play)))
        words.append(played)
    words.append(say_in("which hands play", HANDS[first.hands]))
    tempos = dict.fromkeys(bpm(play.tempo, song.metre_at(play.start)) for play in segment.play)
    words.append(_one_after_another(tempos))
    if first.times > 1:
        words.append(times_word(first.times))
    return ", ".join(words)


def facts_of(song: Song, segments: Sequence[Segment], settings: LessonSettings, names: Names = LETTER_NAMES) -> str:
    """Key, metre, tempo as written and as taught, extent, running time, and what all asides would add to it."""
    metre = song.metre
    taught = sorted({play.tempo for segment in segments if segment.kind == "right_hand" for play in segment.play})
    tempo = bpm(song.tempo, metre)
    if taught and taught[-1] < song.tempo:
        speeds = "–".join(dict.fromkeys((bpm(taught[0], metre), bpm(taught[-1], metre))))
        if metre.is_compound:
            tempo = say("{tempo} dotted beats a minute, taught at {taught}", tempo=tempo, taught=speeds)
        else:
            tempo = say("{tempo} bpm, taught at {taught}", tempo=tempo, taught=speeds)
    elif metre.is_compound:
        tempo = say("{tempo} dotted beats a minute", tempo=tempo)
    else:
        tempo = say("{tempo} bpm", tempo=tempo)
    bars = sum(1 for bar in song.bars if bar.number)
    extent = [
        song.section,
        say_counted("{count} bar", "{count} bars", bars),
        say_counted("{count} part", "{count} parts", len(song.parts)),
    ]
    facts = [
        names.key_shown(song.key),
        str(metre),
        tempo,
        ", ".join(filter(None, extent)),
        clock(total_seconds(segments)),
    ]
    asides = [aside for segment in segments for aside in segment.asides]
    if asides:
        facts.append(say("{time} more with every aside", time=clock(asides_seconds(asides, settings))))
    return " · ".join([say("Session plan"), *facts])


def credits_of(song: Song) -> str:
    """Who wrote it, and the note of rights or a reminder to clear them."""
    noted = song.rights.strip().rstrip(".")
    rights = say("Rights: {rights}.", rights=noted) if song.rights.strip() else say(CLEAR_RIGHTS)
    return f"{song.composer.strip()} · {rights}" if song.composer.strip() else rights


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
        _reach(hand, pitches[hand][0], pitches[hand][-1], names.places)
        for hand in (Hand.RIGHT, Hand.LEFT)
        if hand in pitches
    ]
    return capital(" · ".join(words))


def _reach(hand: Hand, lowest: Pitch, highest: Pitch, names: Names) -> str:
    first = _place(lowest, names)
    if lowest.midi == highest.midi:
        if hand is Hand.RIGHT:
            return say("right hand on {place}", place=first)
        return say("left hand on {place}", place=first)
    within = 0 < highest.staff_step - lowest.staff_step < STEPS_IN_OCTAVE
    last = names.said(highest.name) if within else _place(highest, names)
    if hand is Hand.RIGHT:
        return say("right hand from {lowest} up to {highest}", lowest=first, highest=last)
    return say("left hand from {lowest} up to {highest}", lowest=first, highest=last)


def _place(pitch: Pitch, names: Names) -> str:
    return names.middle_c if pitch == MIDDLE_C else say("the {place}", place=keyboard_place(pitch, names))


def _one_after_another(tempos: Iterable[str]) -> str:
    """Tempos in the order in which they come: ``56``, ``56 and 84``."""
    first, *others = tempos
    for tempo in others:
        first = say("{tempo} and {next}", tempo=first, next=tempo)
    return first


def review_of(song: Song, segment: Segment) -> str:
    """A reminder where the segment's own words are older than its notes; else empty."""
    for number in segment.parts if segment.kind in ("right_hand", "left_hand", "together") else ():
        words = song.part(number).teaching.words_for(segment.kind)
        if words is not None and words.review:
            return say(READ_AGAIN)
    return ""


def joined(sentences: Iterable[str]) -> str:
    """What is said, as one text."""
    return " ".join(sentences)
