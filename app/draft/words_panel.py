"""What to say in the selected part: computed, or in the teacher's own words, with a way back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.document.document import LessonDocument
from app.draft.line_mark import LineMark
from app.draft.own_sentences import Stretch, changed_sentences, sentences
from app.widgets.button import Button
from app.widgets.labels import label
from app.widgets.text_editors import TextField, Underlined
from app.widgets.themes import Themes
from core.edits.set_words import set_words
from core.song.part import OwnWords
from core.song.song import Song
from core.teaching.naming import Naming

if TYPE_CHECKING:
    from core.session.script_check import Finding, OwnFinding

LOOKS: Final = {"right_hand": "right", "left_hand": "left", "together": "both"}


def kind_title(kind: str) -> str:
    """What the words for a hand, or for both, are called."""
    titles = {
        "right_hand": QCoreApplication.translate("Words", "Right hand"),
        "left_hand": QCoreApplication.translate("Words", "Left hand"),
        "together": QCoreApplication.translate("Words", "Together"),
    }
    return titles[kind]


def _check_own_words(song: Song, number: int, naming: Naming) -> tuple[OwnFinding, ...]:
    if not song.part(number).teaching.words:
        return ()
    from core.session.script_check import check_own_words  # slow to load, and most parts have none

    return check_own_words(song, number, naming)


class WordsOfOneKind(QWidget):
    """The words for one hand, or for both together."""

    typed = Signal(str)
    """The teacher's own words, as typed."""
    given_back = Signal()
    """The computed words are wanted again."""
    accepted = Signal()
    """The words were looked at after the part changed, and still hold."""

    def __init__(self, kind: str, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        title = kind_title(kind)
        self._kind = kind
        self._themes = themes
        self._expected = ""
        self._marked: list[Underlined] = []
        self._own_mark: LineMark | None = None
        self._changed_mark: LineMark | None = None
        self._title = label(title, self, look=LOOKS[kind])
        self._back = Button(self.tr("Computed words"), self, look="link", does=self.given_back.emit)
        self._back.setAccessibleName(self.tr("%s: go back to the computed words") % title)
        self._back.setToolTip(self.tr("Go back to the computed words"))
        self._accept = Button(self.tr("Still right"), self, look="link", does=self.accepted.emit)
        self._accept.setAccessibleName(self.tr("%s: the words are still right") % title)
        self.field = TextField(self)
        self.field.setProperty("look", LOOKS[kind])
        self.field.setAccessibleName(self.tr("%s: what to say") % title)
        self.field.textChanged.connect(self._report)
        self._title.setBuddy(self.field)
        self._head = QHBoxLayout()
        self._head.setContentsMargins(0, 0, 0, 0)
        self._head.setSpacing(8)
        self._head.addWidget(self._title)
        self._head.addStretch()
        self._head.addWidget(self._back)
        self._review = QHBoxLayout()
        self._review.setContentsMargins(0, 0, 0, 0)
        self._review.setSpacing(8)
        self._review.addStretch()
        self._review.addWidget(self._accept, 0, Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addLayout(self._head)
        layout.addLayout(self._review)
        layout.addWidget(self.field)
        self.show_words("", None)

    def show_words(
        self, computed: str, own: OwnWords | None, findings: Sequence[Finding] = (), *, while_typing: bool = False
    ) -> None:
        """Show the words; while they are being typed, the field is left as it is.

        Args:
            computed: what would be said without own words.
            own: the teacher's own words, or None.
            findings: what in the own words the part does not bear out.
            while_typing: whether they are being typed just now.
        """
        self._expected = own.text if own else computed
        self._back.setVisible(own is not None)
        review = own is not None and own.review
        self._accept.setVisible(review)
        if not while_typing:
            self.field.show_text(self._expected)
        text = self.field.toPlainText()
        changed = changed_sentences(text, computed) if own else ()
        some = () if len(changed) == len(sentences(text)) else changed
        told = [
            *self._mark_own(own is not None, len(some), len(sentences(text))),
            *self._mark_changed(review, findings),
        ]
        self.field.setAccessibleDescription(" ".join(told))
        self._underline(some, findings if text.rstrip() == self._expected else ())

    def _mark_own(self, own: bool, some: int, of: int) -> tuple[str, ...]:
        """Mark own words beside the way back from them; what the mark says at length."""
        if own and self._own_mark is None:
            self._own_mark = LineMark("own", self._themes, self)
            self._head.insertWidget(2, self._own_mark)
        if self._own_mark is None:
            return ()
        self._own_mark.setVisible(own)
        if not own:
            return ()
        whole = self.tr("%1: your own words.")
        if some:
            whole = self.tr("%1: your own words. %2 of %3 sentences are not the computed ones; dots underline them.")
        whole = whole.replace("%1", kind_title(self._kind)).replace("%2", str(some)).replace("%3", str(of))
        self._own_mark.say(self.tr("own words"), whole)
        return (whole,)

    def _mark_changed(self, review: bool, findings: Sequence[Finding]) -> tuple[str, ...]:
        """Mark own words that are older than the part, with what in them the part does not bear out."""
        if review and self._changed_mark is None:
            self._changed_mark = LineMark("changed", self._themes, self)
            self._review.insertWidget(0, self._changed_mark, 1)
        if self._changed_mark is None:
            return ()
        self._changed_mark.setVisible(review)
        if not review:
            return ()
        whole = " ".join((self.tr("The part has changed since."), *(finding.sentence for finding in findings)))
        self._changed_mark.say(whole, whole)
        return (whole,)

    def _underline(self, changed: Sequence[Stretch], findings: Sequence[Finding]) -> None:
        """Dots under the sentences of one's own, waves under what the part does not bear out."""
        marked: list[Underlined] = [(*stretch, "dots") for stretch in changed]
        marked += [(finding.start, finding.end, "waves") for finding in findings]
        if marked != self._marked:
            self._marked = marked
            self.field.underline(marked)

    def show_expected(self) -> None:
        """Show the words again as the lesson has them."""
        if self.field.toPlainText() != self._expected:
            self.field.setPlainText(self._expected)

    def _report(self) -> None:
        text = self.field.toPlainText()
        if text.strip() != self._expected.strip():
            self.typed.emit(text)


class WordsPanel(QWidget):
    """Right hand, left hand, together: what to say in a part."""

    def __init__(self, document: LessonDocument, themes: Themes, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._number = 1
        self._computed: Mapping[str, str] = {}
        self._typing_kind = ""
        self.kinds = {kind: WordsOfOneKind(kind, themes, self) for kind in LOOKS}
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(10)
        for kind, words in self.kinds.items():
            words.typed.connect(lambda text, kind=kind: self._type(kind, text))
            words.given_back.connect(lambda kind=kind: self._give_back(kind))
            words.accepted.connect(lambda kind=kind: self._accept(kind))
            words.field.left.connect(lambda kind=kind: self._leave(kind))
            layout.addWidget(words)

    def show_part(self, number: int, computed: Mapping[str, str], naming: Naming = Naming.LETTERS) -> None:
        """Show a part's words; `computed` has those of every kind, `naming` is what notes are called in own ones."""
        self._number, self._computed = number, computed
        song = self._document.song
        teaching = song.parts[number - 1].teaching
        found = _check_own_words(song, number, naming)
        for kind, words in self.kinds.items():
            findings = [one.finding for one in found if one.kind == kind]
            words.show_words(computed[kind], teaching.words_for(kind), findings, while_typing=kind == self._typing_kind)

    def _type(self, kind: str, text: str) -> None:
        same = text.strip() == self._computed.get(kind, "").strip()
        wanted = None if same else text
        number = self._number
        self._typing_kind = kind
        self._document.apply(
            lambda song: set_words(song, number, kind, wanted), self.tr("words"), f"words {number} {kind}"
        )
        self._typing_kind = ""

    def _give_back(self, kind: str) -> None:
        number = self._number
        self._document.apply(lambda song: set_words(song, number, kind, None), self.tr("computed words"))

    def _accept(self, kind: str) -> None:
        number = self._number
        own = self._document.song.parts[number - 1].teaching.words_for(kind)
        if own is not None:
            text = own.text
            self._document.apply(lambda song: set_words(song, number, kind, text), self.tr("words looked at"))

    def _leave(self, kind: str) -> None:
        self._document.end_typing()
        self.kinds[kind].show_expected()
