"""The errors of Phrasebench, drawn as a tree.

::

    PhrasebenchError            anything this program says no to, in one sentence
    ├── DomainError             a value outside its range; names the field and the range
    ├── ChordSymbolError        text that is no chord symbol; knows the place of the fault
    ├── NoteTextError           a typed line of notes that cannot be read; knows the place
    ├── EditError               a change that the song's rules do not allow
    ├── FormatError             a file that cannot be read or written; names file, place, remedy
    │   ├── ForeignFileError    not the format that its name promises
    │   ├── BrokenFileError     the right format, but cut short or damaged
    │   ├── NewerFileError      written by a later version of Phrasebench
    │   ├── SeveralTunesError   a book of tunes where one tune is needed; lists them
    │   ├── FileChangedError    changed on disk since it was opened
    │   └── FileOpenElsewhereError  open in another window
    ├── PlanError               a lesson that cannot be planned (no notes, say)
    └── DeviceError             sound card, MIDI port or keyboard missing or failing

Every message is one sentence that says what is wrong, where, and what to do.
"""

from __future__ import annotations

from core.song.wording import say


class PhrasebenchError(Exception):
    """Anything Phrasebench says no to; its text is one sentence fit for a screen."""


class DomainError(PhrasebenchError, ValueError):
    """A value outside its range.

    Args:
        field: the name of the field, as a musician would say it.
        value: what was given.
        expected: what would have been right, with its range.
    """

    def __init__(self, field: str, value: object, expected: str) -> None:
        super().__init__(
            say("{field} is {value}; it must be {expected}.", field=field, value=repr(value), expected=expected)
        )
        self.field = field
        self.value = value
        self.expected = expected


class ChordSymbolError(PhrasebenchError, ValueError):
    """Text that is no chord symbol.

    Args:
        text: the whole text as it was written.
        place: index of the first character that could not be understood.
        reason: what was expected there.
    """

    def __init__(self, text: str, place: int, reason: str) -> None:
        super().__init__(
            say(
                "“{text}” is not a chord symbol: at character {place}, {reason}.",
                text=text,
                place=place + 1,
                reason=reason,
            )
        )
        self.text = text
        self.place = place
        self.reason = reason


class NoteTextError(PhrasebenchError, ValueError):
    """A typed line of notes that cannot be read.

    Args:
        text: the whole line as it was typed.
        place: index of the first character that could not be understood.
        reason: what was expected there.
    """

    def __init__(self, text: str, place: int, reason: str) -> None:
        super().__init__(
            say("The line of notes stops making sense at character {place}: {reason}.", place=place + 1, reason=reason)
        )
        self.text = text
        self.place = place
        self.reason = reason


class EditError(PhrasebenchError):
    """A change that the rules of the song do not allow; nothing was changed."""


class FormatError(PhrasebenchError):
    """A file that cannot be read or written.

    Args:
        name: the file's name.
        place: where in the file (a line, a bar, a field), or an empty string where none is known.
        trouble: what is wrong, as a clause.
        remedy: what to do, as a clause.
    """

    def __init__(self, name: str, place: str, trouble: str, remedy: str) -> None:
        super().__init__(
            say("{file}, {place}: {trouble}; {remedy}.", file=name, place=place, trouble=trouble, remedy=remedy)
            if place
            else say("{file}: {trouble}; {remedy}.", file=name, trouble=trouble, remedy=remedy)
        )
        self.name = name
        self.place = place
        self.trouble = trouble
        self.remedy = remedy


class ForeignFileError(FormatError):
    """Not the format that its name promises."""


class BrokenFileError(FormatError):
    """The right format, but cut short or damaged."""


class NewerFileError(FormatError):
    """Written by a later version of Phrasebench."""


class SeveralTunesError(FormatError):
    """A book of tunes where one tune is needed."""


class FileChangedError(FormatError):
    """Changed on disk since it was opened."""


class FileOpenElsewhereError(FormatError):
    """Open in another window."""


class PlanError(PhrasebenchError):
    """A lesson that cannot be planned."""


class DeviceError(PhrasebenchError):
    """A sound card, MIDI port or keyboard that is missing or failing."""
