"""Removing several notes."""

from __future__ import annotations

from core.edits.chosen_notes import Chosen, without
from core.song.song import Song


def remove_notes(song: Song, chosen: Chosen) -> Song:
    """Remove notes; what was under them is silence.

    Raises:
        EditError: for a note that is not there.
    """
    return without(song, chosen)
