"""What is marked on the sheet: how each note was played, which one the music waits for, whose hand is doubtful."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QObject, QTimer

from app.document.document import LessonDocument
from app.draft.doubtful_hands import DoubtfulHands
from app.listen.playing_along import Asked, Fate, PlayingAlong
from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from app.widgets.lesson_sheet import LessonSheet
from app.widgets.row_marks import Marked
from core.drawing.row_marks import Mark, bearer_of
from core.drawing.shapes import Subject
from core.performance.following import Verdict
from core.session.playing_told import name_of_key
from core.song.song import Song
from core.teaching.naming import Names, Naming

GRAVEST_FIRST: Final[tuple[Verdict, ...]] = ("wrong", "missed", "late", "early", "apart", "right")
"""Of several things that became of what one bead stands for, the first of these is marked."""


class SheetMarks(QObject):
    """Shows marks on the rows of a sheet.

    Args:
        sheet: the sheet.
        document: the lesson.
        along: who plays along.
        doubtful: which hands are doubtful.
        settings: what notes are called.
        parent: the owner.
    """

    def __init__(
        self,
        sheet: LessonSheet,
        document: LessonDocument,
        along: PlayingAlong,
        doubtful: DoubtfulHands,
        settings: SettingsStore,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._sheet = sheet
        self._document = document
        self._along = along
        self._doubtful = doubtful
        self._settings = settings
        self._doubts: dict[int, dict[Subject, str]] = {}
        self._wanted: tuple[Asked, ...] = ()
        self._stale: set[int] = set()
        self._known: dict[Subject, tuple[tuple[Fate, ...], Marked]] = {}
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)  # several reports of one moment are shown together
        self._soon.timeout.connect(self.show_now)
        along.verdicts_changed.connect(self._mark_again)
        along.keys_changed.connect(self._wanted_changed)
        doubtful.changed.connect(self._doubts_changed)
        document.song_changed.connect(self._song_changed)
        settings.changed.connect(self._settings_changed)
        self._doubts_changed()

    def show_now(self) -> None:
        """Mark what there is to be marked."""
        self._soon.stop()
        stale, self._stale = self._stale, set()
        for number in stale:
            if number <= len(self._sheet.rows):
                self._sheet.rows[number - 1].show_marks(self._marked(number))

    def _mark_again(self, parts: Iterable[int]) -> None:
        self._stale.update(parts)
        self._soon.start()

    def _wanted_changed(self) -> None:
        wanted = self._along.wanted
        if wanted != self._wanted:
            self._mark_again({asked.part for asked in (*self._wanted, *wanted)})
            self._wanted = wanted

    def _song_changed(self, before: Song, after: Song) -> None:
        """Until the hands of the changed song are told, those of parts that are as they were stay marked."""
        places = {id(part): number for number, part in enumerate(after.parts, 1)}
        now = {number: places.get(id(part)) for number, part in enumerate(before.parts, 1)}
        kept: dict[int, dict[Subject, str]] = {}
        for number, doubts in self._doubts.items():
            here = now.get(number)
            if here is not None:
                kept[here] = {replace(subject, part=here): reason for subject, reason in doubts.items()}
        self._mark_again(self._doubts.keys() | kept.keys())
        self._doubts = kept

    def _doubts_changed(self) -> None:
        song = self._document.song
        before, self._doubts = self._doubts, {}
        for number, hands in enumerate(self._doubtful.hands, 1):
            for index, hand in enumerate(hands):
                bearer = bearer_of(song.parts[number - 1], index, number) if hand.is_doubtful else None
                if bearer is not None:
                    self._doubts.setdefault(number, {}).setdefault(bearer, hand.reason)
        if before != self._doubts:
            self._mark_again(before.keys() | self._doubts.keys())

    def _marked(self, number: int) -> dict[Subject, Marked]:
        """Everything that is marked in a part, with its reasons."""
        found: dict[Subject, Marked] = {}
        for subject, fates in self._along.fates_in(number).items():
            found[subject] = self._of(subject, fates)
        for asked in self._wanted:
            if asked.part == number and asked.bearer is not None:
                known = found.get(asked.bearer, Marked(()))
                faults = (mark for mark in known.marks if mark.sign not in ("right", "wanted"))
                reasons = dict.fromkeys((self.tr("The music waits for it."), *known.reasons))
                found[asked.bearer] = Marked((Mark("wanted", self.tr("play")), *faults), tuple(reasons))
        for subject, reason in self._doubts.get(number, {}).items():
            known = found.get(subject, Marked(()))
            told = self.tr("The hand is doubtful: %1 Press R or L to say which hand plays it.").replace("%1", reason)
            found[subject] = Marked((*known.marks, Mark("doubtful")), (*known.reasons, told))
        return found

    def _of(self, subject: Subject, fates: tuple[Fate, ...]) -> Marked:
        """What is marked where something was said; it is put into words once."""
        known = self._known.get(subject)
        if known is None or known[0] is not fates:
            marked = Marked((self._mark(fates),), tuple(dict.fromkeys(map(self._told, fates))))
            known = self._known[subject] = (fates, marked)
        return known[1]

    def _settings_changed(self, before: Settings, after: Settings) -> None:
        if before.naming != after.naming:
            self._known = {}
            self._mark_again(range(1, len(self._sheet.rows) + 1))

    def _mark(self, fates: Sequence[Fate]) -> Mark:
        gravest = min(fates, key=lambda fate: GRAVEST_FIRST.index(fate.verdict))
        return Mark(gravest.verdict, self._name(gravest) if gravest.verdict == "wrong" else "")

    def _name(self, fate: Fate) -> str:
        song, asked = self._document.song, fate.asked
        if asked.part > len(song.parts):
            return ""
        names = Names.of_part(song, asked.part, Naming(self._settings.settings.naming))
        return names.shown(name_of_key(song, asked.part, asked.tick, fate.midi))

    def _told(self, fate: Fate) -> str:
        """What became of a note, in a sentence."""
        told = {
            "right": self.tr("%1 was played in time."),
            "early": self.tr("%1 came early, by %2 s."),
            "late": self.tr("%1 came late, by %2 s."),
            "missed": self.tr("%1 was missed."),
            "wrong": self.tr("%1 was played here and is not meant."),
            "apart": self.tr("The hands were %2 s apart."),
        }[fate.verdict]
        return told.replace("%1", self._name(fate)).replace("%2", f"{abs(fate.late):.2f}")
