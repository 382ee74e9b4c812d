"""Notes whose hand is doubtful, told from the whole song in the background, for what there is to look at."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.background.slow_work import SlowWork
from app.document.document import LessonDocument
from core.session.analysis import Remark
from core.session.song_hands import NoteHand, doubtful_hands
from core.song.song import Song

HANDS: Final = "hands of the song"
WAITING_MILLISECONDS: Final = 500
"""How long the song must stand unchanged: the answer takes the whole song, and nobody looks for it while typing."""


class DoubtfulHands(QObject):
    """Keeps, for the song as it is, which hands are doubtful."""

    changed = Signal()
    """There is something new to be shown, or nothing any more."""

    def __init__(self, document: LessonDocument, slow_work: SlowWork, parent: QObject) -> None:
        super().__init__(parent)
        self._document = document
        self._slow_work = slow_work
        self._told: tuple[Song, tuple[tuple[NoteHand, ...], ...]] | None = None
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.setInterval(WAITING_MILLISECONDS)
        self._waiting.timeout.connect(self._ask)
        document.song_changed.connect(self._look_again)
        self._look_again()

    def remarks(self, number: int) -> tuple[Remark, ...]:
        """What to look at in a part, at most one sentence; none while it is not known yet."""
        song = self._document.song
        if self._told is None or self._told[0] is not song:
            return ()
        hands = self._told[1][number - 1]
        first = next((i for i, hand in enumerate(hands) if hand.is_doubtful), None)
        if first is None:
            return ()
        moment = song.part_onsets[number - 1] + song.part(number).notes[first].onset
        return tuple(Remark(sentence, moment) for sentence in doubtful_hands(song, number, hands))

    @property
    def hands(self) -> tuple[tuple[NoteHand, ...], ...]:
        """How certain the hand of each note is, part by part; nothing while it is not known for the song as it is."""
        return self._told[1] if self._told is not None and self._told[0] is self._document.song else ()

    def close(self) -> None:
        """Wait for nothing any more."""
        self._waiting.stop()
        self._slow_work.forget(HANDS)

    def _look_again(self) -> None:
        if any(not note.hand_given for part in self._document.song.parts for note in part.notes):
            self._waiting.start()
        else:
            self._waiting.stop()

    def _ask(self) -> None:
        song = self._document.song
        self._slow_work.start(
            "core.session.song_hands:song_hands",
            song,
            done=lambda hands: self._tell(song, hands),
            failed=lambda _: None,
            name=HANDS,
        )

    def _tell(self, song: Song, hands: tuple[tuple[NoteHand, ...], ...]) -> None:
        if song is self._document.song:
            self._told = (song, hands)
            self.changed.emit()
