"""Dialogs that ask for a file or a folder; where the desktop has none of its own, Qt's is made fit to be read."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPalette, QPixmap
from PySide6.QtWidgets import QFileDialog, QHeaderView, QSplitter, QToolButton, QTreeView, QWidget

LETTERS_WIDE, LINES_HIGH = 110, 28
"""Room for a file's name and its date."""
SIDEBAR_LETTERS: Final = 20
ARROWS: Final = ("backButton", "forwardButton", "toParentButton")
"""Buttons whose signs Qt draws black in every theme."""
OTHERS: Final = ("newFolderButton", "listModeButton", "detailModeButton")
NAME, SIZE, TYPE = range(3)
"""Columns of the list: a name and a date tell a lesson; its kind stands in its ending, and its size says nothing."""


def file_dialog(
    parent: QWidget, title: str, folder: str = "", mode: QFileDialog.FileMode = QFileDialog.FileMode.AnyFile
) -> QFileDialog:
    """A dialog that asks for a file, and goes away for good once it is closed.

    Args:
        parent: what it belongs to.
        title: what is asked for.
        folder: where it begins; where it likes, if left out.
        mode: whether for one that is there, or for any.
    """
    dialog = QFileDialog(parent, title, folder)
    dialog.setObjectName("file-dialog")
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
    dialog.setOption(QFileDialog.Option.HideNameFilterDetails)
    dialog.setFileMode(mode)
    _make_fit(dialog)
    return dialog


def folder_dialog(parent: QWidget, title: str, folder: str = "") -> QFileDialog:
    """A dialog that asks for a folder."""
    dialog = file_dialog(parent, title, folder, QFileDialog.FileMode.Directory)
    dialog.setOption(QFileDialog.Option.ShowDirsOnly)
    return dialog


def _make_fit(dialog: QFileDialog) -> None:
    """Give Qt's own dialog room for names in the size that text has, and signs that are seen in the dark."""
    tree = dialog.findChild(QTreeView, "treeView")
    if tree is None:  # the desktop's own dialog will be shown
        return
    letters, screen = dialog.fontMetrics(), dialog.screen().availableSize()
    wanted = QSize(LETTERS_WIDE * letters.averageCharWidth(), LINES_HIGH * letters.lineSpacing())
    dialog.resize(wanted.boundedTo(screen).expandedTo(dialog.minimumSizeHint()))
    for column in (SIZE, TYPE):
        tree.hideColumn(column)
    header = tree.header()
    header.setStretchLastSection(False)
    header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    header.setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
    splitter = dialog.findChild(QSplitter, "splitter")
    if splitter is not None:
        sidebar = min(SIDEBAR_LETTERS * letters.averageCharWidth(), dialog.width() // 5)
        splitter.setSizes([sidebar, max(1, dialog.width() - sidebar)])
    side = letters.height()
    for name in (*ARROWS, *OTHERS):
        button = dialog.findChild(QToolButton, name)
        if button is not None:
            button.setIconSize(QSize(side, side))
            if name in ARROWS:
                button.setIcon(_in_colours_of(dialog.palette(), button.icon(), side))


def _in_colours_of(palette: QPalette, icon: QIcon, side: int) -> QIcon:
    """A sign in the colours of a palette's text, of what can be pressed and of what cannot."""
    found = QIcon()
    for group, mode in (
        (QPalette.ColorGroup.Active, QIcon.Mode.Normal),
        (QPalette.ColorGroup.Disabled, QIcon.Mode.Disabled),
    ):
        sign = QPixmap(icon.pixmap(QSize(side, side), QIcon.Mode.Normal))
        painter = QPainter(sign)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceIn)
        painter.fillRect(sign.rect(), palette.color(group, QPalette.ColorRole.ButtonText))
        painter.end()
        found.addPixmap(sign, mode)
    return found
