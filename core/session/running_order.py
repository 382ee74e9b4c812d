"""The running order: every segment of the camera session, in teaching order.

Opening; for each part its right hand, left hand and both together; from the second part on a run-through of all
parts so far; embellishments of both hands; closing. A part whose left hand has neither chords nor notes has a
right-hand segment only. A part that comes back is taught by its difference: an exact repeat in one sentence and one
play.

What is taught is the plain melody; what the teacher has put under it, its loosened rhythm and the pedal are shown
after the embellishments, over the parts that have them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate, groupby
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.arranging.embellished import chosen_words, goes_beyond_melody
from core.arranging.embellishments import OWN, Embellishment, embellishment_in
from core.session.analysis import analyse_part, depends_on
from core.session.asides import PlacedAside, asides_in
from core.session.lesson_settings import END
from core.session.phrasing import field_values, phrased
from core.session.resembled import resembled
from core.session.script import closing_words, embellishment_words, opening_words, run_through_words, stretches_of
from core.session.timing import LessonSettings, Play, plays_at, run_through_tempo, segment_seconds, teaching_tempo
from core.song.errors import PlanError
from core.song.identity_cache import IdentityCache
from core.song.note import Hand
from core.song.part import Part
from core.song.phrase import fields_in, filled
from core.song.song import Song
from core.song.wording import say, to_say
from core.teaching.difference_words import difference_words
from core.teaching.naming import Names
from core.teaching.resemblance import Resemblance
from core.teaching.sentences import capital

RIGHT_HAND, LEFT_HAND, TOGETHER = "right_hand", "left_hand", "together"
TITLES: Final = {
    RIGHT_HAND: to_say("Part {number}, right hand"),
    LEFT_HAND: to_say("Part {number}, left hand"),
    TOGETHER: to_say("Part {number}, together"),
}
_ON_SCREEN: Final = {
    RIGHT_HAND: to_say("Part {number} · right hand"),
    LEFT_HAND: to_say("Part {number} · left hand"),
    TOGETHER: to_say("Part {number} · together"),
}
_EMBELLISHES: Final = {
    Hand.RIGHT: to_say("Embellish: {embellishment} in the right hand"),
    Hand.LEFT: to_say("Embellish: {embellishment} in the left hand"),
}
WORTH_SAYING: Final = 0.85
"""From this strength on a resemblance opens the words of a part that is taught as a whole (a third higher), and
spares it a play."""
LONGEST_BROKEN_BARS: Final = 8
"""How much of the song an embellishment is shown on."""
LONGEST_LATER_BARS: Final = 4
"""The same for every embellishment after the first."""
MOST_SONGS: Final = 16
"""So many songs have their taught parts kept; every part of a sheet asks for them."""
USUAL_SETTINGS: Final = LessonSettings()


class Segment(Struct, frozen=True):
    """One thing to record.

    Attributes:
        number: place in the running order, from 1.
        kind: ``opening``, ``right_hand``, ``left_hand``, ``together``, ``run_through``, ``embellishment``
            or ``closing``.
        parts: numbers of the parts it is about.
        title: what it is called.
        say: what is said, in paragraphs.
        on_screen: what the video may show meanwhile.
        play: what is played, in order.
        start: seconds from the start of the session.
        seconds: how long it lasts.
        pattern: name of the left-hand pattern that an embellishment shows, else empty.
        asides: what may be said as well, or left out; `seconds` goes without them.
    """

    number: int
    kind: str
    parts: tuple[int, ...]
    title: str
    say: tuple[str, ...]
    on_screen: str
    play: tuple[Play, ...]
    start: float
    seconds: float
    pattern: str = ""
    asides: tuple[PlacedAside, ...] = ()


def running_order(song: Song, settings: LessonSettings = USUAL_SETTINGS) -> tuple[Segment, ...]:
    """Every segment of a lesson with its place and length.

    Raises:
        PlanError: for a song with no notes to teach.
    """
    if not any(part.melody for part in song.parts):
        raise PlanError(
            say("{song} has no right-hand notes yet, so there is nothing to plan; add notes first.", song=song.title)
        )
    placed: list[Segment] = []
    start = 0.0
    for number, computed in enumerate(_segments(song, settings), 1):
        segment = computed if computed.kind in TITLES else _phrased(song, computed, settings)
        seconds = segment_seconds(segment.say, segment.play, settings)
        placed.append(replace(segment, number=number, start=start, seconds=seconds))
        start += seconds
    return tuple(placed)


def _phrased(song: Song, segment: Segment, settings: LessonSettings) -> Segment:
    spoken = phrased(song, segment.kind, segment.parts, segment.say, segment.play, settings)
    return segment if spoken is segment.say else replace(segment, say=spoken)


def total_seconds(segments: Sequence[Segment]) -> float:
    """How long a whole session lasts."""
    return segments[-1].start + segments[-1].seconds if segments else 0.0


def teach_seconds(song: Song, number: int, settings: LessonSettings = USUAL_SETTINGS) -> float:
    """How long the segments of one part last; 0 for a part that is not taught."""
    if not song.part(number).teaching.taught:
        return 0.0
    return sum(
        segment_seconds(segment.say, segment.play, settings) for segment in _part_segments(song, number, settings)
    )


_taught_parts: IdentityCache[tuple[int, ...]] = IdentityCache(most=MOST_SONGS)


def _taught(song: Song) -> tuple[int, ...]:
    """Numbers of the parts that are taught; all that have notes where the teacher left none."""
    known = _taught_parts.get((song,), ())
    if known is not None:
        return known
    sung = [number for number, part in enumerate(song.parts, 1) if any(note.melody for note in part.notes)]
    taught = [number for number in sung if song.parts[number - 1].teaching.taught]
    return _taught_parts.put((song,), (), tuple(taught or sung))


def _segments(song: Song, settings: LessonSettings) -> Iterator[Segment]:
    taught = _taught(song)
    has_chords = any(part.chords for part in song.parts)
    has_left_hand = has_chords or song.has_written_left_hand
    tempos = {number: teaching_tempo(song, number) for number in range(taught[0], taught[-1] + 1)}
    slowest = dict(zip(tempos, accumulate(tempos.values(), min), strict=True))
    if "opening" in settings.segments:
        yield _opening(song, taught, settings, has_left_hand)
    for place, number in enumerate(taught):
        yield from _part_segments(song, number, settings)
        if place and "run_through" in settings.segments:
            yield _run_through(song, taught, place, slowest[number], settings, has_left_hand)
    if has_chords and "embellishment" in settings.segments:
        found = (embellishment_in(song, name) for name in settings.embellishments)
        for place, embellishment in enumerate(filter(None, found)):
            yield _embellishment(song, taught, embellishment, place, tempos, settings)
    if "embellishment" in settings.segments:
        yield from _as_chosen(song, taught, tempos, settings)
    if "closing" in settings.segments:
        yield _segment("closing", tuple(taught), say("Closing"), closing_words(song), song.title)


def _segment(
    kind: str,
    parts: tuple[int, ...],
    title: str,
    spoken: tuple[str, ...],
    on_screen: str,
    play: tuple[Play, ...] = (),
    pattern: str = "",
) -> Segment:
    return Segment(0, kind, parts, title, spoken, on_screen, play, 0.0, 0.0, pattern)


def _count_in(song: Song, tick: int, settings: LessonSettings) -> int:
    return settings.count_in_bars * song.metre_at(tick).bar_ticks


def _span(song: Song, first: int, last: int) -> tuple[int, int]:
    onsets = song.part_onsets
    return onsets[first - 1], onsets[last - 1] + song.parts[last - 1].duration


def _opening(song: Song, taught: Sequence[int], settings: LessonSettings, has_left_hand: bool) -> Segment:
    """The song once as it goes, or its end: each stretch that runs on in the written song is one play."""
    hands = "both" if has_left_hand else "right"
    ending = (_last_parts(song, (1, len(song.parts))),)
    stretches = ending if settings.opening == END else stretches_of(song.playing_order)
    plays = tuple(
        Play(
            *_span(song, stretch[0], stretch[-1]),
            hands,
            song.tempo_at(song.part_onsets[stretch[0] - 1]),
            1,
            0 if place else _count_in(song, 0, settings),
            runs_on=place > 0,
        )
        for place, stretch in enumerate(stretches)
    )
    names = Names(settings.way_of_naming, song.key)
    shown = f"{song.title} · {names.key_shown(song.key)} · {song.metre}"
    return _segment("opening", tuple(taught), say("Opening"), opening_words(song, taught, names), shown, plays)


_segments_of_parts: IdentityCache[tuple[Segment, ...]] = IdentityCache()


def _part_segments(song: Song, number: int, settings: LessonSettings) -> tuple[Segment, ...]:
    """The segments of one part, kept as long as the part, and the one it resembles, stay the same objects."""
    objects, facts = depends_on(song, number)
    found = _comes_back(song, number, settings) if settings.by_difference else None
    if found is not None:
        objects = (*objects, song.part(found.part))
    facts = (*facts, found, settings, song.phrases, song.title)
    known = _segments_of_parts.get(objects, facts)
    if known is not None:
        return known
    made = _with_asides(song, number, tuple(_made_part_segments(song, number, settings, found)))
    return _segments_of_parts.put(objects, facts, made)


def _with_asides(song: Song, number: int, segments: tuple[Segment, ...]) -> tuple[Segment, ...]:
    part, start = song.part(number), song.part_onsets[number - 1]
    if not part.asides:
        return segments
    kinds = [segment.kind for segment in segments]
    return tuple(replace(one, asides=asides_in(part, start, one.kind, kinds)) for one in segments)


def _comes_back(song: Song, number: int, settings: LessonSettings) -> Resemblance | None:
    """How a part resembles one that was taught before it."""
    earlier = tuple(other for other in _taught(song) if other < number)
    return resembled(song, number, earlier, settings.way_of_naming)


def _made_part_segments(
    song: Song, number: int, settings: LessonSettings, found: Resemblance | None
) -> Iterator[Segment]:
    part = song.part(number)
    if found is not None and found.is_exact and _taught_alike(part, song.part(found.part)):
        yield _repeated(song, number, settings, found)
        return
    tempo = teaching_tempo(song, number)
    start, end = _span(song, number, number)
    count_in = _count_in(song, start, settings)
    names = Names.of_part(song, number, settings.way_of_naming)
    shown = {
        RIGHT_HAND: " ".join(names.shown(note.pitch.name) for note in part.melody),
        LEFT_HAND: _left_hand_shown(part, names),
        TOGETHER: "",
    }
    hands = {
        RIGHT_HAND: ("right", settings.right_hand_times, count_in, bool(part.melody)),
        LEFT_HAND: ("left", settings.left_hand_times, 0, part.has_left_hand),
        TOGETHER: ("both", settings.together_times, count_in, bool(part.melody) and part.has_left_hand),
    }
    for kind, (played, times, counted, there) in hands.items():
        if not there or kind not in settings.segments:
            continue
        spoken, is_short = _said(song, number, kind, found, names)
        play = Play(start, end, played, tempo, max(1, times - 1) if is_short else times, counted, plain=True)
        plays = plays_at(play, settings)
        own = part.teaching.words_for(kind)
        if own is None:
            spoken = phrased(song, kind, (number,), spoken, plays, settings)
        elif fields_in(own.text):
            words = analyse_part(song, number, names.naming).words_of(kind)
            spoken = (filled(own.text, field_values(song, (number,), (words,), plays, settings)),)
        on_screen = " · ".join(filter(None, (say(_ON_SCREEN[kind], number=number), shown[kind])))
        yield _segment(kind, (number,), say(TITLES[kind], number=number), spoken, on_screen, plays)


def _left_hand_shown(part: Part, names: Names) -> str:
    """The chords of a part; the notes of its left hand where it has none, those that are struck together joined."""
    if part.chords:
        return "  ".join(names.chord_shown(chord.symbol) for chord in part.chords)
    struck = groupby(part.hand(Hand.LEFT), key=lambda note: note.onset)
    return " ".join("+".join(names.shown(note.pitch.name) for note in notes) for _, notes in struck)


def _said(song: Song, number: int, kind: str, found: Resemblance | None, names: Names) -> tuple[tuple[str, ...], bool]:
    """What is said for a hand, or both, of a part, and whether it is only what is new about it.

    The teacher's own words are said as they are, and in full.
    """
    own = song.part(number).teaching.words_for(kind)
    if own is not None:
        return (own.text,), False
    short = None if found is None else difference_words(song, number, kind, found, names)
    if short is not None:
        return (short,), True
    words = analyse_part(song, number, names.naming).words_of(kind)
    if kind == RIGHT_HAND and found is not None and found.strength >= WORTH_SAYING:
        return (words,) if words.startswith((found.sentence, found.lead)) else (found.sentence, words), True
    return ((words,) if words else ()), False


def _taught_alike(part: Part, other: Part) -> bool:
    """Whether the teacher chose nothing for a part that was not chosen for the other, and wrote no words for it."""
    here, there = part.teaching, other.teaching
    fields = ("pattern", "harmony", "rhythm", "voicing")
    return not here.words and all(getattr(here, field) == getattr(there, field) for field in fields)


def _repeated(song: Song, number: int, settings: LessonSettings, found: Resemblance) -> Segment:
    """An exact repeat: one sentence, and played once with all the hands it has."""
    part = song.part(number)
    start, end = _span(song, number, number)
    kinds = (TOGETHER, RIGHT_HAND, LEFT_HAND) if part.has_left_hand else (RIGHT_HAND,)
    kind = next((kind for kind in kinds if kind in settings.segments), RIGHT_HAND)
    hands = {TOGETHER: "both", RIGHT_HAND: "right", LEFT_HAND: "left"}[kind]
    play = Play(start, end, hands, teaching_tempo(song, number), 1, _count_in(song, start, settings), plain=True)
    title = say(TITLES[kind], number=number)
    shown = say("Part {number} · as part {part}", number=number, part=found.part)
    return _segment(kind, (number,), title, (found.sentence,), shown, (play,))


def _run_through(
    song: Song, taught: Sequence[int], place: int, slowest: float, settings: LessonSettings, has_left_hand: bool
) -> Segment:
    numbers = tuple(range(taught[0], taught[place] + 1))
    start, end = _span(song, numbers[0], numbers[-1])
    play = Play(
        start,
        end,
        "both" if has_left_hand else "right",
        run_through_tempo(song.tempo_at(start), (slowest,)),
        settings.run_through_times,
        _count_in(song, start, settings),
        plain=True,
    )
    plays = plays_at(play, settings)
    last = place == len(taught) - 1
    ends = f"{numbers[0]}–{numbers[-1]}"
    title, shown = say("Run-through {parts}", parts=ends), say("Parts {parts}", parts=ends)
    return _segment("run_through", numbers, title, run_through_words(song, numbers, last), shown, plays)


def _embellishment(
    song: Song,
    taught: Sequence[int],
    embellishment: Embellishment,
    place: int,
    tempos: Mapping[int, float],
    settings: LessonSettings,
) -> Segment:
    """The first pattern is shown from the beginning, later ones on the end of the song."""
    name = embellishment.name.removeprefix(OWN)
    shown = _first_parts(song, taught, LONGEST_BROKEN_BARS) if place == 0 else _last_parts(song, taught)
    start, end = _span(song, shown[0], shown[-1])
    tempo = run_through_tempo(song.tempo_at(start), (tempos[number] for number in shown))
    play = Play(start, end, "both", tempo, settings.embellishment_times, _count_in(song, start, settings))
    left = embellishment.hand is Hand.LEFT
    play = replace(play, plain=True)
    play = replace(play, pattern=name) if left else replace(play, harmony=name)
    return _segment(
        "embellishment",
        shown,
        say(_EMBELLISHES[embellishment.hand], embellishment=embellishment.title),
        embellishment_words(embellishment.words_in(song.metre_at(start)), place == 0),
        capital(embellishment.title),
        plays_at(play, settings),
        name if left else "",
    )


def _first_parts(song: Song, taught: Sequence[int], most_bars: int) -> tuple[int, ...]:
    """Consecutive parts from the first taught one on, at least one, up to so many bars."""
    room = most_bars * song.metre.bar_ticks + song.pickup
    numbers: list[int] = []
    for number in range(taught[0], taught[-1] + 1):
        room -= song.part(number).duration
        if numbers and room < 0:
            break
        numbers.append(number)
    return tuple(numbers)


def _last_parts(song: Song, taught: Sequence[int]) -> tuple[int, ...]:
    room = LONGEST_LATER_BARS * song.metre.bar_ticks
    numbers: list[int] = []
    for number in range(taught[-1], taught[0] - 1, -1):
        room -= song.part(number).duration
        if numbers and room < 0:
            break
        numbers.insert(0, number)
    return tuple(numbers)


def _as_chosen(
    song: Song, taught: Sequence[int], tempos: Mapping[int, float], settings: LessonSettings
) -> Iterator[Segment]:
    """The parts for which more than the plain melody was chosen, as they are performed; none where there is none."""
    chosen = [number for number in taught if goes_beyond_melody(song.part(number))]
    if not chosen:
        return
    words = dict.fromkeys(sentence for number in chosen for sentence in chosen_words(song, number, left_hand=False))
    start, end = _span(song, chosen[0], chosen[-1])
    tempo = run_through_tempo(song.tempo_at(start), (tempos[number] for number in chosen))
    hands = "both" if any(part.has_left_hand for part in song.parts) else "right"
    play = Play(start, end, hands, tempo, settings.embellishment_times, _count_in(song, start, settings))
    shown = tuple(range(chosen[0], chosen[-1] + 1))
    title, on_screen = say("Embellish: as it is performed"), say("As it is performed")
    spoken = (say("And this is how I perform it."), *words)
    yield _segment("embellishment", shown, title, spoken, on_screen, plays_at(play, settings))
