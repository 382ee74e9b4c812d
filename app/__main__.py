"""``python3 -m app``: finds or makes its environment, then hands over to the program inside it.

This file keeps to what every Python 3 understands, so that one that is too old can say so.
"""

import sys
from pathlib import Path

OLDEST_PYTHON = (3, 11)
INTERRUPTED = 130
"""The exit status of a program that Control-C ended, as shells give it."""


def main() -> int:
    """Starts the program; returns its exit status."""
    if sys.version_info[:2] < OLDEST_PYTHON:
        sys.stderr.write(
            "Phrasebench needs Python 3.11 or later, and this is Python %d.%d: start it with a newer one.\n"  # noqa: UP031 - every Python 3 must understand this file
            % sys.version_info[:2]
        )
        return 2
    from app.bootstrap import CannotStart, standard_streams, starting

    standard_streams.open_standard_streams()
    try:
        status = starting.enter(Path(__file__).resolve().parents[1], "app", "app", sys.argv[1:])
        if status is not None:
            return status
        if starting.opens_window(sys.argv[1:]):
            starting.ready_for_window()
    except CannotStart as trouble:
        sys.stderr.write(str(trouble) + "\n")
        return 2
    except KeyboardInterrupt:
        return INTERRUPTED
    from app.main import main as run

    return run(sys.argv[1:], "python3 -m app")


if __name__ == "__main__":
    sys.exit(main())
