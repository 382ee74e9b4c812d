"""What the message bar says when nothing else is to be said: what can be done with what is selected."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.widgets.place_words import selection_in_words
from app.widgets.selection import Kind, Selection
from app.window.header import Workspace
from core.song.song import Song
from core.teaching.naming import Naming


def hint_for(song: Song, selection: Selection, workspace: Workspace, naming: Naming = Naming.LETTERS) -> str:
    """A hint about what is selected, or about the workspace."""

    def translated(text: str) -> str:
        return QCoreApplication.translate("Hints", text)

    if workspace is Workspace.SONGS:
        return translated("Choose the folder in which you keep your lessons; type to filter, Enter opens.")
    if workspace is Workspace.CAMERA:
        return translated("Stop if anything hurts; rest ten minutes in every hour of playing. F1 shows every key.")
    doing = {
        Kind.NOTE: translated("type its name; Alt with the arrows moves it; Shift with the arrows selects more"),
        Kind.CHORD: translated("Enter names it; Alt+Left and Alt+Right move it"),
        Kind.PART: translated("Space plays it; click a note, a chord or the arrows between rows"),
    }[selection.place.kind]
    if selection.several:
        doing = translated("Alt with the arrows moves them, Ctrl+C copies them, Del removes them")
    return f"{selection_in_words(song, selection, naming)} – {doing}"
