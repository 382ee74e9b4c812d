"""Where a chord of a part may begin or land, and what stands in its way elsewhere."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QCoreApplication

from app.widgets.selection import Place
from core.session.moments import moment_words
from core.song.chord import Chord
from core.song.part import Part
from core.song.song import Song
from core.teaching.naming import Names


def beats_of_part(song: Song, number: int) -> tuple[int, ...]:
    """The beats of a part, in ticks from its start; every eighth in 6/8, since each of them can be counted."""
    start, part = song.part_onsets[number - 1], song.parts[number - 1]
    beats: list[int] = []
    for bar in song.bars:
        unit = bar.metre.unit_ticks
        first = bar.onset if bar.number else bar.end - -(-bar.duration // unit) * unit  # a pick-up ends on a beat
        beats.extend(tick - start for tick in range(first, bar.end, unit) if start <= tick < start + part.duration)
    return tuple(beats)


def landing_moments(part: Part, index: int, beats: Iterable[int]) -> tuple[int, ...]:
    """The moments at which a chord of a part may land: with notes of the melody, or on beats.

    It stays behind the beginning of the chord before it and before its own end.
    """
    chord = part.chords[index]
    meant = {*melody_moments(part), *beats, chord.onset}
    return tuple(sorted(moment for moment in meant if earliest_moment(part, index) <= moment < chord.end))


def melody_moments(part: Part) -> frozenset[int]:
    """The moments at which a chord would land with a note of the melody."""
    return frozenset(note.onset for note in part.notes if note.melody and not note.is_grace)


def earliest_moment(part: Part, index: int) -> int:
    """The first tick at which a chord of a part may begin: behind the beginning of the one before."""
    return part.chords[index - 1].onset + 1 if index else 0


def why_not_there(song: Song, place: Place, onset: int, names: Names) -> str:
    """Why a chord may not begin at a moment of its part, and what would help; empty where it may.

    Args:
        song: the song.
        place: the chord.
        onset: ticks from the part's start; below 0 for a place before the part.
        names: what chords are called.
    """
    part, start, index = song.parts[place.part - 1], song.part_onsets[place.part - 1], place.index
    chord = part.chords[index]
    if earliest_moment(part, index) <= onset < chord.end:
        return ""
    meant = max(0, min(start + onset, song.length - 1))

    def in_its_way(text: str, other: Chord) -> str:
        begins = moment_words(song, start + other.onset)
        shown = names.chord_shown
        return _said(text, shown(chord.symbol), moment_words(song, meant), shown(other.symbol), begins)

    if onset < 0:
        return _before_its_part(place.part, names.chord_shown(chord.symbol))
    if onset < chord.end:
        text = QCoreApplication.translate(
            "ChordPlaces",
            "%1 cannot begin at %2: %3 begins at %4. Place it further right, or move or remove %3 first.",
        )
        return in_its_way(text, part.chords[index - 1])
    if onset >= part.duration:
        return _behind_its_part(place.part, names.chord_shown(chord.symbol), last=place.part == len(song.parts))
    after = part.chords[index + 1] if index + 1 < len(part.chords) else None
    if after is not None and after.onset <= onset:
        text = QCoreApplication.translate(
            "ChordPlaces",
            "%1 cannot begin at %2: %3 begins at %4. Place it further left, or move or remove %3 first.",
        )
        return in_its_way(text, after)
    return _said(
        QCoreApplication.translate(
            "ChordPlaces",
            "%1 cannot begin at %2: it ends at %3. Place it further left, or remove it and name it anew there.",
        ),
        names.chord_shown(chord.symbol),
        moment_words(song, meant),
        moment_words(song, min(start + chord.end, song.length - 1)),
    )


def _before_its_part(number: int, name: str) -> str:
    if number == 1:
        return _said(
            QCoreApplication.translate("ChordPlaces", "%1 cannot begin before the song does. Place it further right."),
            name,
        )
    return _said(
        QCoreApplication.translate(
            "ChordPlaces",
            "%1 cannot begin before part %2 does. Place it further right, or move the cut before part %2 first.",
        ),
        name,
        number,
    )


def _behind_its_part(number: int, name: str, *, last: bool) -> str:
    if last:
        return _said(
            QCoreApplication.translate("ChordPlaces", "%1 cannot begin behind the song's end. Place it further left."),
            name,
        )
    return _said(
        QCoreApplication.translate(
            "ChordPlaces",
            "%1 cannot begin behind the end of part %2. Place it further left, or move the cut behind part %2 first.",
        ),
        name,
        number,
    )


def _said(text: str, *values: object) -> str:
    for place, value in enumerate(values, 1):
        text = text.replace(f"%{place}", str(value))
    return text
