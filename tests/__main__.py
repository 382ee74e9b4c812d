"""``python3 -m tests``: finds or makes its environment, then runs pytest inside it with the arguments it was given.

``--display`` shows windows on the real screen; without it they are drawn where nobody sees them. Without any argument
all tests run, spread over the machine's cores.
"""

import os
import sys
from pathlib import Path

from app.__main__ import INTERRUPTED, OLDEST_PYTHON

ON_SCREEN = "--display"
ON_ALL_CORES = ["-n", "auto", "--dist", "loadfile"]
"""A file's tests stay together, since they may share something that is slow to make."""


def main() -> int:
    """Runs the tests; returns pytest's exit status."""
    if sys.version_info[:2] < OLDEST_PYTHON:
        sys.stderr.write(
            "The tests need Python 3.11 or later, and this is Python %d.%d: start them with a newer one.\n"  # noqa: UP031 - every Python 3 must understand this file
            % sys.version_info[:2]
        )
        return 2
    from app.bootstrap import CannotStart, starting

    home = Path(__file__).resolve().parents[1]
    arguments = [argument for argument in sys.argv[1:] if argument != ON_SCREEN]
    on_screen = ON_SCREEN in sys.argv[1:]
    try:
        status = starting.enter(home, "tests", "tests", sys.argv[1:])
        if status is not None:
            return status
        starting.ready_for_tests(on_screen)
    except CannotStart as trouble:
        sys.stderr.write(str(trouble) + "\n")
        return 2
    except KeyboardInterrupt:
        return INTERRUPTED
    if not on_screen:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    import pytest

    return int(pytest.main(arguments or ON_ALL_CORES))


if __name__ == "__main__":
    sys.exit(main())
