"""Qt's own dialog for files, which a desktop without one shows, can be read in every size of text and in the dark."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QModelIndex, QSize
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication, QFileDialog, QToolButton, QTreeView, QWidget
from pytestqt.qtbot import QtBot

from app.widgets.file_dialog import ARROWS, NAME, file_dialog, folder_dialog
from tests.helpers.open_window import USUAL_PERCENT, themes_of

NAMES = ("the_lamplighters_waltz.lesson", "night_ferry.musicxml")


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_names_and_titles_are_read_whole(percent: int, qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> None:
    themes_of(qapp).scale_text(percent)
    for name in NAMES:
        (tmp_path / name).write_text("")
    ground = QWidget()
    qtbot.addWidget(ground)
    dialog = file_dialog(ground, "Open", str(tmp_path), QFileDialog.FileMode.ExistingFile)
    dialog.show()
    tree = dialog.findChild(QTreeView, "treeView")
    assert tree is not None
    model = tree.model()
    qtbot.waitUntil(lambda: model.rowCount(tree.rootIndex()) == len(NAMES))
    qapp.processEvents()
    header = tree.header()
    for column in range(header.count()):
        if not header.isSectionHidden(column):
            assert header.sectionSizeHint(column) <= header.sectionSize(column)
    for row in range(len(NAMES)):
        index: QModelIndex = model.index(row, NAME, tree.rootIndex())
        assert tree.sizeHintForIndex(index).width() <= tree.visualRect(index).width()
    dialog.reject()
    themes_of(qapp).scale_text(USUAL_PERCENT)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_its_signs_are_seen_in_both_themes(theme: str, qapp: QApplication, qtbot: QtBot) -> None:
    themes_of(qapp).choose(theme)
    ground = QWidget()
    qtbot.addWidget(ground)
    dialog = file_dialog(ground, "Open")
    paper = dialog.palette().window().color().lightness()
    for name in ARROWS:
        button = dialog.findChild(QToolButton, name)
        assert button is not None
        sign = button.icon().pixmap(QSize(16, 16), QIcon.Mode.Normal).toImage()
        seen = [sign.pixelColor(x, y) for x in range(sign.width()) for y in range(sign.height())]
        ink = [colour.lightness() for colour in seen if colour.alpha() > 200]
        assert ink
        assert min(abs(one - paper) for one in ink) > 100, name
    dialog.close()
    themes_of(qapp).choose("light")


def test_a_folder_is_asked_for_without_files(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> None:
    assert qapp is not None
    ground = QWidget()
    qtbot.addWidget(ground)
    dialog = folder_dialog(ground, "Folder", str(tmp_path))
    assert dialog.fileMode() is QFileDialog.FileMode.Directory
    assert dialog.testOption(QFileDialog.Option.ShowDirsOnly)
    assert Path(dialog.directory().path()) == tmp_path
    dialog.close()
