"""What a part is embellished with: tried first, with its effort and reach in words, then kept or left.

What is chosen here is a trial: it is heard when the part is played, and changes the lesson only when it is kept.
"""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLayout, QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.listen.own_pattern_panel import OwnPatternPanel
from app.settings.settings_store import SettingsStore
from app.widgets.button import Button
from app.widgets.choice_box import ChoiceBox
from app.widgets.labels import label
from core.arranging.embellished import chosen_words
from core.arranging.introductions import LENGTHS
from core.arranging.left_hand import PATTERNS, pattern_in, patterns_in
from core.arranging.levels import Level, neighbours
from core.arranging.melody_rhythm import RHYTHMS
from core.arranging.right_hand import HARMONIES
from core.edits.add_frame import add_ending, add_introduction
from core.edits.own_patterns import keep_pattern
from core.edits.set_teaching import set_harmony, set_pattern, set_pedal, set_rhythm
from core.edits.set_voicing import set_voicing
from core.session.analysis import part_effort
from core.session.embellishment_effect import effect, reach_sentence
from core.song.chord import NEAREST, ROOT_POSITION
from core.song.errors import EditError
from core.song.note import Hand
from core.song.pattern_grid import OwnPattern
from core.song.song import Song
from core.teaching.left_hand_movement import part_movement_sentence

PEDAL: Final = "pedal"
FRAMES: Final = {"introduction": add_introduction, "ending": add_ending}


class EmbellishPanel(QWidget):
    """Both hands of the selected part beyond the plain version."""

    trial_changed = Signal(object)
    """The song as it would be (`Song`), or None where nothing is being tried."""
    hear_wanted = Signal(int)
    """The number of the part to be heard as it is tried."""
    refused = Signal(str)
    """One sentence: why something cannot be kept."""

    def __init__(self, document: LessonDocument, settings: SettingsStore, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self._number = 1
        self._shown: tuple[int, Song] | None = None
        self._drawn: OwnPattern | None = None
        self._trial: Song | None = None
        self._levels: tuple[Level | None, Level | None] = (None, None)
        self.title = label("", self, look="heading")
        self.left = self._choice(self.tr("What the left hand plays"))
        self.chords = self._choice(self.tr("How the left hand takes its chords"))
        self.right = self._choice(self.tr("What lies under the melody"))
        self.rhythm = self._choice(self.tr("Rhythm of the melody"))
        self.pedal = self._choice(self.tr("Sustain pedal"))
        self.frame = self._choice(self.tr("Introduction or ending to be added"))
        self.easier = Button("", self, does=lambda: self._take(self._levels[0]))
        self.harder = Button("", self, does=lambda: self._take(self._levels[1]))
        self.draw = Button(self.tr("Draw a pattern"), self)
        self.draw.setCheckable(True)
        self.draw.clicked.connect(self._show_drawing)
        self.own = OwnPatternPanel(self)
        self.own.drawn.connect(self._draw)
        self.own.hide()
        self.about = label("", self, look="quiet")
        self.effect = label("", self)
        for sentences in (self.about, self.effect):
            sentences.setWordWrap(True)
        self.keep = Button(self.tr("Keep"), self, name=self.tr("Keep what is tried"), does=self._keep)
        self.hear = Button(self.tr("Hear it"), self, name=self.tr("Hear what is tried"), does=self._hear)
        self.leave = Button(self.tr("Leave it"), self, name=self.tr("Leave the part as it was"), does=self.leave_trial)
        self.everywhere = Button("", self, look="link", does=self._choose_everywhere)
        self._none = label(self.tr("This part has no chords yet: the left hand rests."), self, look="quiet")
        self._none.setWordWrap(True)
        self._lay_out()

    def _choice(self, name: str) -> ChoiceBox:
        box = ChoiceBox(name, self)
        box.activated.connect(lambda _: self._try())
        return box

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(1, 1)
        self._names: dict[ChoiceBox, QWidget] = {}
        for row, (title, box) in enumerate(
            (
                (self.tr("Left hand"), self.left),
                (self.tr("Chords"), self.chords),
                (self.tr("Right hand"), self.right),
                (self.tr("Rhythm"), self.rhythm),
                (self.tr("Pedal"), self.pedal),
                (self.tr("Add"), self.frame),
            )
        ):
            name = label(title, self, look="quiet")
            name.setBuddy(box)
            self._names[box] = name
            grid.addWidget(name, row, 0)
            grid.addWidget(box, row, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(8)
        layout.addWidget(self.title)
        layout.addWidget(self._none)
        layout.addLayout(grid)
        layout.addLayout(_row(self.easier, self.harder))
        layout.addWidget(self.effect)
        layout.addLayout(_row(self.hear, self.keep, self.leave))
        layout.addWidget(self.about)
        layout.addWidget(self.everywhere)
        layout.addLayout(_row(self.draw))
        layout.addWidget(self.own)

    @property
    def trial(self) -> Song | None:
        """The song as it would be, or None where nothing is being tried."""
        return self._trial

    def show_part(self, number: int) -> None:
        """Show what a part is embellished with; what was being tried for another one, or another song, is left."""
        song = self._document.song
        if self._shown is not None and self._shown[0] == number and self._shown[1] is song:
            return
        self._number, self._shown = number, (number, song)
        if self.draw.isChecked():
            self.draw.setChecked(False)
            self.own.hide()
        self.leave_trial()

    def leave_trial(self) -> None:
        """Go back to what the lesson has."""
        self._drawn = None
        self.frame.offer(self._frames(), "")
        self._offer(self._document.song)
        self._set_trial(None)

    def _offer(self, song: Song) -> None:
        """Show a song's choices for the part."""
        teaching = song.parts[self._number - 1].teaching
        self.left.offer(self._patterns(song), teaching.pattern)
        self.right.offer(tuple((one.name, one.title) for one in HARMONIES), teaching.harmony)
        self.rhythm.offer(tuple((one.name, one.title) for one in RHYTHMS), teaching.rhythm)
        styles = ((ROOT_POSITION, self.tr("root position")), (NEAREST, self.tr("nearest inversions")))
        self.chords.offer(styles, teaching.voicing)
        pedals = (("", self.tr("none")), (PEDAL, self.tr("with each chord anew")))
        self.pedal.offer(pedals, PEDAL if teaching.pedal else "")

    def _patterns(self, song: Song, drawn: str = "") -> list[tuple[str, str]]:
        """The patterns of the trade, the song's and the teacher's own ones, and what is being drawn."""
        known = {pattern.name: pattern.title for pattern in patterns_in(song)}
        own = (*(pattern.name for pattern in self._settings.settings.own_patterns), drawn)
        return list((known | {name: name for name in own if name and name not in known}).items())

    def _frames(self) -> list[tuple[str, str]]:
        choices = [("", self.tr("nothing"))]
        for name, title in (("introduction", self.tr("introduction")), ("ending", self.tr("ending"))):
            for bars in LENGTHS:
                text = self.tr("%1 of %2 bars").replace("%1", title).replace("%2", str(bars))
                choices.append((f"{name} {bars}", text))
        return choices

    def _edit(self, song: Song) -> Song:
        """The song with everything that is chosen here; raises EditError where it cannot be."""
        number = self._number
        chosen = self.left.chosen
        if self._drawn is not None:
            song, chosen = keep_pattern(song, self._drawn), self._drawn.name
        elif all(pattern.name != chosen for pattern in patterns_in(song)):
            own = next(own for own in self._settings.settings.own_patterns if own.name == chosen)
            song = keep_pattern(song, own)
        song = set_pattern(song, number, chosen)
        song = set_harmony(song, number, self.right.chosen)
        song = set_rhythm(song, number, self.rhythm.chosen)
        song = set_voicing(song, number, self.chords.chosen)
        song = set_pedal(song, number, self.pedal.chosen == PEDAL)
        if self.frame.chosen:
            name, bars = self.frame.chosen.split()
            song = FRAMES[name](song, int(bars))
        return song

    def _try(self) -> None:
        if self.sender() is self.left:
            self._drawn = None
        song = self._document.song
        try:
            tried = self._edit(song)
        except EditError as error:
            self.refused.emit(str(error))
            self.leave_trial()
            return
        drawn = self._drawn
        if drawn is not None:
            self.left.offer(self._patterns(song, drawn.name), drawn.name)
        self._set_trial(None if tried == song else tried)

    def _take(self, level: Level | None) -> None:
        if level is not None:
            self._drawn = None
            self.left.offer(self._offered(self.left), level.pattern)
            self.right.offer(self._offered(self.right), level.harmony)
            self._try()

    def _offered(self, box: ChoiceBox) -> list[tuple[str, str]]:
        return [(box.itemData(place), box.itemText(place)) for place in range(box.count())]

    def _set_trial(self, tried: Song | None) -> None:
        changed = tried is not self._trial
        self._trial = tried
        self._show()
        if changed:
            self.trial_changed.emit(tried)

    @property
    def _tried_number(self) -> int:
        """The part that the trial is about: the selected one, or the one that would be added."""
        if not self.frame.chosen or self._trial is None:
            return self._number
        return 1 if self.frame.chosen.startswith("introduction") else len(self._trial.parts)

    def _show(self) -> None:
        song = self._document.song
        shown = self._trial or song
        place = self._number + (self.frame.chosen.startswith("introduction") if self._trial else 0)
        part = shown.parts[place - 1]
        has_chords = bool(part.chords)
        self.title.setText(self.tr("Part %1: the hands play").replace("%1", str(self._number)))
        for box in (self.left, self.chords, self.pedal):
            box.setVisible(has_chords)
            self._names[box].setVisible(has_chords)
        for box in (self.right, self.rhythm):
            box.setVisible(bool(part.melody))
            self._names[box].setVisible(bool(part.melody))
        any_chords = any(not chord.symbol.is_silent for _, chord in song.placed_chords())
        self.frame.setVisible(any_chords)
        self._names[self.frame].setVisible(any_chords)
        self.draw.setVisible(has_chords)
        self._none.setVisible(not has_chords and not part.hand(Hand.LEFT))
        self._show_levels(shown, place, has_chords)
        self._show_words(song, shown, place)
        for button in (self.keep, self.hear, self.leave):
            button.setVisible(self._trial is not None)
        self._show_everywhere(song)

    def _show_levels(self, shown: Song, place: int, has_chords: bool) -> None:
        self._levels = neighbours(shown, place) if has_chords else (None, None)
        for button, level, text, none in (
            (self.easier, self._levels[0], self.tr("Easier: %1"), self.tr("Easier")),
            (self.harder, self._levels[1], self.tr("Harder: %1"), self.tr("Harder")),
        ):
            button.setVisible(has_chords)
            button.setEnabled(level is not None)
            button.setText(none if level is None else text.replace("%1", str(round(level.effort))))
            name = self.tr("%1, effort %2 of 100: %3").replace("%1", none)
            said = none if level is None else name.replace("%2", str(round(level.effort))).replace("%3", level.title)
            button.setAccessibleName(said)
            button.setToolTip("" if level is None else said)

    def _show_words(self, song: Song, shown: Song, place: int) -> None:
        part = shown.parts[place - 1]
        about = []
        if part.chords:
            about.append(
                pattern_in(shown, part.teaching.pattern).words_in(shown.metre_at(shown.part_onsets[place - 1]))
            )
            about.append(part_movement_sentence(shown, place))
        about += chosen_words(shown, place, left_hand=False)
        self.about.setText(" ".join(filter(None, about)))
        self.about.setVisible(bool(self.about.text()))
        if self._trial is not None and self.frame.chosen:
            added = self._tried_number
            cost = self.tr("It would be part %1, effort %2 of 100.").replace("%1", str(added))
            cost = cost.replace("%2", str(round(part_effort(shown, added).total)))
            self.effect.setText(f"{cost} {reach_sentence(shown, added)}")
        else:
            self.effect.setText(effect(song, shown, self._number).sentence if part.melody or part.chords else "")

    def _show_everywhere(self, song: Song) -> None:
        chosen = pattern_in(song, song.parts[self._number - 1].teaching.pattern)
        different = any(other.teaching.pattern != chosen.name for other in song.parts if other.chords)
        text = self.tr("Use %1 in every part").replace("%1", chosen.title)
        self.everywhere.setText(text)
        self.everywhere.setAccessibleName(text)
        has_chords = bool(song.parts[self._number - 1].chords)
        self.everywhere.setVisible(has_chords and different and self._trial is None)

    def _keep(self) -> None:
        drawn = self._drawn
        if self._document.apply(self._edit, self.tr("embellishment")) and drawn is not None:
            self._settings.change(own_patterns=self._settings.settings.with_pattern(drawn))

    def _hear(self) -> None:
        self.hear_wanted.emit(self._tried_number)

    def _show_drawing(self, wanted: bool = False) -> None:
        self.own.setVisible(wanted)
        if not wanted:
            self.leave_trial()
            return
        song = self._document.song
        chosen = self.left.chosen
        known = (*song.patterns, *self._settings.settings.own_patterns)
        shown = next((own for own in known if own.name == chosen), None)
        self.own.start(song.metre_at(song.part_onsets[self._number - 1]), shown)

    def _draw(self, pattern: OwnPattern | None) -> None:
        self._drawn = pattern
        if pattern is not None and any(known.name == pattern.name for known in PATTERNS):
            self._drawn = None
            self.refused.emit(
                self.tr("“%1” is a pattern already; give yours another name.").replace("%1", pattern.name)
            )
            return
        self._try()

    def _choose_everywhere(self) -> None:
        name = self._document.song.parts[self._number - 1].teaching.pattern

        def everywhere(song: Song) -> Song:
            for number in range(1, len(song.parts) + 1):
                song = set_pattern(song, number, name)
            return song

        self._document.apply(everywhere, self.tr("left-hand pattern in every part"))


def _row(*widgets: QWidget) -> QLayout:
    row = QHBoxLayout()
    row.setSpacing(6)
    for widget in widgets:
        row.addWidget(widget)
    row.addStretch()
    return row
