"""The teacher's choices for a part: whether it is taught, what the left hand plays, how fast."""

from __future__ import annotations

from msgspec.structs import replace

from core.arranging.left_hand import patterns_in
from core.arranging.melody_rhythm import RHYTHMS
from core.arranging.right_hand import HARMONIES
from core.edits.part_contents import LEFT_HAND, RIGHT_HAND, TOGETHER, for_review, the_part
from core.song.errors import EditError
from core.song.part import Teaching
from core.song.song import Song
from core.song.tempo import FASTEST_TEMPO, SLOWEST_TEMPO
from core.song.wording import say


def set_taught(song: Song, number: int, taught: bool) -> Song:
    """Say whether a part is taught; it is played either way.

    Raises:
        EditError: where no part would be left to teach.
    """
    part = the_part(song, number)
    if not taught and not any(other.teaching.taught for place, other in enumerate(song.parts, 1) if place != number):
        raise EditError(say("At least one part must be taught."))
    return _with_teaching(song, number, replace(part.teaching, taught=taught))


def set_pattern(song: Song, number: int, name: str) -> Song:
    """Choose what the left hand plays in a part, by the pattern's name.

    Raises:
        EditError: for an unknown pattern.
    """
    known = [pattern.name for pattern in patterns_in(song)]
    if name not in known:
        raise EditError(
            say("There is no left-hand pattern “{name}”; choose one of {known}.", name=name, known=", ".join(known))
        )
    chosen = replace(the_part(song, number).teaching, pattern=name)
    return _with_choice(song, number, chosen, (LEFT_HAND, TOGETHER))


def set_harmony(song: Song, number: int, name: str) -> Song:
    """Choose what lies under the melody of a part, by its name; ``none`` for the melody alone.

    Raises:
        EditError: for an unknown name.
    """
    known = [harmony.name for harmony in HARMONIES]
    if name not in known:
        raise EditError(
            say(
                "Nothing called “{name}” can lie under the melody; choose one of {known}.",
                name=name,
                known=", ".join(known),
            )
        )
    chosen = replace(the_part(song, number).teaching, harmony=name)
    return _with_choice(song, number, chosen, (RIGHT_HAND, TOGETHER))


def set_rhythm(song: Song, number: int, name: str) -> Song:
    """Choose how the rhythm of a part's melody is loosened, by its name; ``written`` for the plain melody.

    Raises:
        EditError: for an unknown name.
    """
    known = [rhythm.name for rhythm in RHYTHMS]
    if name not in known:
        raise EditError(
            say("A melody has no rhythm called “{name}”; choose one of {known}.", name=name, known=", ".join(known))
        )
    chosen = replace(the_part(song, number).teaching, rhythm=name)
    return _with_choice(song, number, chosen, (RIGHT_HAND, TOGETHER))


def set_pedal(song: Song, number: int, used: bool) -> Song:
    """Say whether a part is played with the sustain pedal.

    Raises:
        EditError: for a part that is not there.
    """
    return _with_teaching(song, number, replace(the_part(song, number).teaching, pedal=used))


def set_teaching_tempo(song: Song, number: int, bpm: float | None) -> Song:
    """Set how fast a part is taught, in quarter notes a minute, or None to have it computed.

    Raises:
        EditError: for a tempo outside 5 … 600.
    """
    if bpm is not None and not SLOWEST_TEMPO <= bpm <= FASTEST_TEMPO:
        raise EditError(say("A teaching tempo must be from 5 to 600 quarter notes a minute."))
    return _with_teaching(song, number, replace(the_part(song, number).teaching, tempo=bpm))


def _with_choice(song: Song, number: int, chosen: Teaching, spoken: tuple[str, ...]) -> Song:
    """A choice taken up; own words of the kinds that speak of it are to be looked at, where it is another one."""
    return song if chosen == song.part(number).teaching else _with_teaching(song, number, for_review(chosen, spoken))


def _with_teaching(song: Song, number: int, teaching: Teaching) -> Song:
    part = the_part(song, number)
    if teaching == part.teaching:
        return song
    return song.with_part(number, replace(part, teaching=teaching))
