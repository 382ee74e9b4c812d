"""The window's texts out of the same catalogue as all others: Qt asks, the catalogue answers."""

from __future__ import annotations

from gettext import NullTranslations

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator


class SpokenTexts(QTranslator):
    """Gives Qt the texts of a catalogue; a text that it lacks stays English.

    Args:
        catalogue: the texts.
        application: whose texts they become.
    """

    def __init__(self, catalogue: NullTranslations, application: QCoreApplication) -> None:
        super().__init__(application)
        self._catalogue = catalogue

    def isEmpty(self) -> bool:  # noqa: N802 - Qt's name
        """Never: Qt does not ask a translator that has nothing."""
        return False

    def translate(self, context: str, source: str, disambiguation: str | None = None, n: int = -1) -> str | None:  # noqa: ARG002 - Qt's arguments
        """The text of the catalogue, for a place that gives it another meaning where there is one; None leaves it."""
        if not source:
            return None
        said = self._catalogue.pgettext(context, source)
        if said == source:
            said = self._catalogue.gettext(source)
        return None if said == source else said


def install_spoken_texts(catalogue: NullTranslations, application: QCoreApplication) -> None:
    """Let the window speak the language of a catalogue, and the dialogs of Qt as well where Qt has it."""
    language = catalogue.info().get("language", "")
    dialogs = QTranslator(application)
    if dialogs.load(QLocale(language), "qtbase", "_", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
        application.installTranslator(dialogs)
    application.installTranslator(SpokenTexts(catalogue, application))
