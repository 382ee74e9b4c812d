"""Lines of what to say that are the teacher's own are marked, and so are those whose part has changed since."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QTextCharFormat
from PySide6.QtTest import QTest

from app.draft.own_sentences import changed_sentences, sentences
from app.draft.words_panel import WordsOfOneKind
from core.edits.set_words import set_words
from core.session.analysis import analyse_part
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import night_ferry

DOTS, WAVES = QTextCharFormat.UnderlineStyle.DotLine, QTextCharFormat.UnderlineStyle.WaveUnderline


def words_for(opened: OpenWindow, kind: str) -> WordsOfOneKind:
    return opened.window.page.draft_panel.words.kinds[kind]


def say(opened: OpenWindow, kind: str, text: str) -> None:
    opened.document.apply(lambda song: set_words(song, 1, kind, text), "words")


def underlined(words: WordsOfOneKind, style: QTextCharFormat.UnderlineStyle) -> list[str]:
    return [
        selection.cursor.selectedText()
        for selection in words.field.extraSelections()
        if selection.format.underlineStyle() is style
    ]


def mark_of(words: WordsOfOneKind) -> str:
    """What the mark beside the way back says; empty where there is none."""
    mark = words._own_mark
    return mark.text() if mark is not None and mark.isVisible() else ""


def notice_of(words: WordsOfOneKind) -> str:
    """What the line says of its part's changes; empty where it says nothing."""
    mark = words._changed_mark
    return mark.text() if mark is not None and mark.isVisible() else ""


def test_sentences_end_with_their_signs_and_with_lines() -> None:
    text = "Up: E, G. Then wait!\nNow the left hand  \n\nReady?"
    assert [text[start:end] for start, end in sentences(text)] == [
        "Up: E, G.",
        "Then wait!",
        "Now the left hand",
        "Ready?",
    ]


def test_a_sentence_is_changed_where_the_computed_words_do_not_have_it() -> None:
    own = "Hello.  Up a third\nto B. Bye."
    found = [own[start:end] for start, end in changed_sentences(own, "Up a third. Bye. Down.")]
    assert found == ["Hello.", "Up a third", "to B."]


def test_own_words_are_marked_beside_the_way_back_and_computed_ones_are_not(opened: OpenWindow) -> None:
    assert [mark_of(words_for(opened, kind)) for kind in ("right_hand", "left_hand", "together")] == ["", "", ""]
    say(opened, "left_hand", "Rest the arm.")
    assert [mark_of(words_for(opened, kind)) for kind in ("right_hand", "left_hand", "together")] == [
        "",
        "own words",
        "",
    ]
    words = words_for(opened, "left_hand")
    mark = words._own_mark
    assert mark is not None
    assert words._back.isVisible()
    assert mark.geometry().right() < words._back.geometry().left()
    assert abs(mark.geometry().center().y() - words._back.geometry().center().y()) <= 2
    words._back.click()
    assert mark_of(words) == ""
    assert words.field.accessibleDescription() == ""


def test_a_sentence_put_among_the_computed_ones_is_underlined_and_counted(opened: OpenWindow) -> None:
    words = words_for(opened, "right_hand")
    computed = analyse_part(opened.song, 1).words_of("right_hand")
    words.field.setFocus()
    QTest.keyClick(words.field, Qt.Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(words.field, " Breathe out.")
    assert underlined(words, DOTS) == ["Breathe out."]
    count = len(sentences(computed)) + 1
    whole = f"Right hand: your own words. 1 of {count} sentences are not the computed ones; dots underline them."
    assert words.field.accessibleDescription() == whole
    assert words._own_mark is not None
    assert words._own_mark.accessibleName() == whole
    assert words._own_mark.toolTip() == whole


def test_words_that_are_all_ones_own_carry_the_mark_and_no_dots(opened: OpenWindow) -> None:
    say(opened, "together", "Both hands, slowly.")
    words = words_for(opened, "together")
    assert mark_of(words) == "own words"
    assert underlined(words, DOTS) == []
    assert words.field.accessibleDescription() == "Together: your own words."


def test_a_line_whose_part_has_changed_says_so_and_what_is_no_longer_so(opened: OpenWindow) -> None:
    say(opened, "right_hand", "Begin on the E, slowly.")
    say(opened, "left_hand", "Rest the arm.")
    words = words_for(opened, "right_hand")
    assert notice_of(words) == ""
    SheetHands(opened).click("note", 1, 0)
    SheetHands(opened).type("d")
    assert notice_of(words) == ("The part has changed since. The words name E, but the right hand of part 1 has no E.")
    assert underlined(words, WAVES) == ["E"]
    assert words.field.accessibleDescription().endswith(notice_of(words))
    assert notice_of(words_for(opened, "left_hand")) == "", "the left hand is as it was"
    words._accept.click()
    assert notice_of(words) == ""
    assert mark_of(words) == "own words"


def test_another_part_takes_the_marks_away(opened: OpenWindow) -> None:
    say(opened, "right_hand", "Begin on the E.")
    SheetHands(opened).click("note", 1, 0)
    SheetHands(opened).type("d")
    SheetHands(opened).click("note", 2, 0)
    words = words_for(opened, "right_hand")
    assert (mark_of(words), notice_of(words)) == ("", "")
    assert words.field.extraSelections() == []


def test_a_saved_lesson_opens_with_its_marks(opened: OpenWindow, tmp_path: Path) -> None:
    say(opened, "right_hand", "Begin on the E.")
    SheetHands(opened).click("note", 1, 0)
    SheetHands(opened).type("d")
    path = tmp_path / "kept.lesson"
    opened.document.save_as(path)
    said = notice_of(words_for(opened, "right_hand"))
    assert said
    opened.document.close()
    with open_window(night_ferry(), tmp_path / "second") as again:
        again.document.open(path)
        words = words_for(again, "right_hand")
        assert (mark_of(words), notice_of(words)) == ("own words", said)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_marks_have_a_sign_that_is_painted(opened: OpenWindow, theme: str) -> None:
    opened.window.page._themes.choose(theme)
    say(opened, "right_hand", "Begin on the E.")
    SheetHands(opened).click("note", 1, 0)
    SheetHands(opened).type("d")
    words = words_for(opened, "right_hand")
    for mark in (words._own_mark, words._changed_mark):
        assert mark is not None
        left = mark.contentsMargins().left()
        image = mark.grab().toImage().convertToFormat(mark.grab().toImage().Format.Format_RGB32)
        strip = {image.pixel(x, y) for x in range(left - 3) for y in range(image.height())}
        assert len(strip) > 3, "the sign stands before the words"
