"""music21 used without a sound: nothing on the screen, no files, no exceptions of its own.

It takes more than half a second to import, so nothing here imports it before it is needed.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout

from core.song.errors import BrokenFileError, PhrasebenchError
from core.song.wording import say


@contextmanager
def quiet_music21(name: str) -> Iterator[None]:
    """Keep music21's warnings from the screen, and turn whatever it raises into a BrokenFileError.

    Args:
        name: of the file being read, for the message.
    """
    with warnings.catch_warnings(), redirect_stderr(io.StringIO()), redirect_stdout(io.StringIO()):
        warnings.simplefilter("ignore")
        try:
            yield
        except PhrasebenchError:
            raise
        except Exception as error:
            reason = " ".join(str(error).split())[:120].rstrip(".") or type(error).__name__
            trouble = say("the notes cannot be read (music21 says: {reason})", reason=reason)
            raise BrokenFileError(
                name, "", trouble, say("export it once more from the program that made it")
            ) from error
