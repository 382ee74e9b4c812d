"""The last resort: an error that nobody foresaw becomes one sentence, and its traceback a file for whoever mends it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from app import __version__
from core.song.errors import PhrasebenchError
from core.song.wording import say


class Unforeseen(PhrasebenchError):
    """Something that should not have happened; the text says where a report of it was written."""


def unforeseen(error: BaseException, what: str) -> Unforeseen:
    """The sentence for an error that nobody foresaw.

    Args:
        error: the error.
        what: the file or command during which it happened.
    """
    import platform  # here, since next to no start needs them
    import tempfile
    import traceback

    kind = type(error).__name__
    words = "".join(traceback.format_exception(error))
    head = f"Phrasebench {__version__}, Python {platform.python_version()} on {platform.platform()}\n{what}\n\n"
    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="phrasebench-report-", suffix=".txt", delete=False, encoding="utf-8", errors="backslashreplace"
        ) as report:
            report.write(head + words)
    except OSError:
        return Unforeseen(
            say(
                "{what}: something went wrong that should not have ({kind}); no report of it could be written.",
                what=what,
                kind=kind,
            )
        )
    return Unforeseen(
        say(
            "{what}: something went wrong that should not have ({kind}); please send the report in {report} to the "
            "makers of the program.",
            what=what,
            kind=kind,
            report=Path(report.name),
        )
    )


@contextmanager
def foreseen(what: str) -> Iterator[None]:
    """Lets errors that say what they mean pass, and turns every other into an ``Unforeseen``."""
    try:
        yield
    except PhrasebenchError:
        raise
    except Exception as error:
        raise unforeseen(error, what) from error
