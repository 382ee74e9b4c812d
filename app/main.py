"""The only composition root: a command line comes in, a command or the window runs, an exit status goes out."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Sequence

from app.bootstrap.standard_streams import open_standard_streams
from app.commands.entry import run
from app.commands.speech import complain
from app.commands.unforeseen import unforeseen
from app.languages import speak_language
from core.song.errors import PhrasebenchError
from core.song.wording import say

DONE = 0
FAILED = 2
"""Wrong use, or the only file unreadable."""
INTERRUPTED = 130
"""Ended by Control-C, as shells give it."""


def main(arguments: Sequence[str], name: str = "phrasebench") -> int:
    """Runs the program.

    Args:
        arguments: the words after the program's name.
        name: what is typed to start it, for the words that say how to go on.

    Returns:
        The exit status: 0 done, 1 some of several files failed, 2 wrong use or the only file unreadable.
    """
    open_standard_streams()
    _speak_utf8()
    speak_language()
    try:
        status = run(arguments, name)
        sys.stdout.flush()
    except PhrasebenchError as error:
        complain(str(error))
        status = FAILED
    except BrokenPipeError:
        # Whoever read the results has had enough; Python would complain once more when it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = DONE
    except SystemExit:
        # The library that prints --help ends the program itself when whoever reads it has had enough.
        status = DONE
    except KeyboardInterrupt:
        status = INTERRUPTED
    except OSError as error:
        complain(
            say(
                "{file}: {reason}; see that there is room.",
                file=error.filename or say("The results"),
                reason=(error.strerror or str(error)).lower(),
            )
        )
        status = FAILED
    except Exception as error:
        complain(str(unforeseen(error, " ".join([name, *arguments]))))
        status = FAILED
    return status


def _speak_utf8() -> None:
    """Results are UTF-8 whatever the system's language; a file name that is not even that is written escaped."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
