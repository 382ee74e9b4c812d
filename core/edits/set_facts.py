"""The facts of a song: title, section, composer, rights, tempo."""

from __future__ import annotations

from msgspec.structs import replace

from core.song.errors import EditError
from core.song.song import Song
from core.song.tempo import FASTEST_TEMPO, SLOWEST_TEMPO, TempoChange
from core.song.wording import say


def set_title(song: Song, title: str) -> Song:
    """Give the song another title.

    Raises:
        EditError: for a blank one.
    """
    title = " ".join(title.split())
    if not title:
        raise EditError(say("A song needs a title; type one."))
    return song if title == song.title else replace(song, title=title)


def set_section(song: Song, section: str) -> Song:
    """Say which section of the song is taught, such as verse; may be blank."""
    section = " ".join(section.split())
    return song if section == song.section else replace(song, section=section)


def set_composer(song: Song, composer: str) -> Song:
    """Say who wrote the song; may be blank."""
    composer = " ".join(composer.split())
    return song if composer == song.composer else replace(song, composer=composer)


def set_tempo(song: Song, bpm: float) -> Song:
    """Set the tempo at the song's start in quarter notes a minute; later changes keep their ratio to it.

    Raises:
        EditError: where the tempo, or a later one in proportion, would leave 5 … 600.
    """
    ratio = bpm / song.tempo
    if any(not SLOWEST_TEMPO <= change.bpm * ratio <= FASTEST_TEMPO for change in song.tempos):
        raise EditError(say("A tempo must be from 5 to 600 quarter notes a minute, everywhere in the song."))
    tempos = tuple(TempoChange(change.onset, round(change.bpm * ratio, 3)) for change in song.tempos)
    return song if tempos == song.tempos else replace(song, tempos=tempos)
