"""Libraries kept quiet: what they print, warn and log is not the user's concern."""

from __future__ import annotations

import io
import logging
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout


@contextmanager
def quiet() -> Iterator[None]:
    """Keeps everything off the screen while the block runs; an error passes through."""
    last_resort, logging.lastResort = logging.lastResort, None
    nowhere = io.StringIO()
    try:
        with warnings.catch_warnings(), redirect_stdout(nowhere), redirect_stderr(nowhere):
            warnings.simplefilter("ignore")
            yield
    finally:
        logging.lastResort = last_resort
