"""Standard streams that somebody closed, opened onto nothing."""

import os
import sys

FIRST_FREE = 3
"""The first number that is not one of the three standard streams."""


def open_standard_streams() -> None:
    """Opens each of input, output and errors that is closed (``>&-``) onto nothing.

    Python leaves a closed one out, so that the first word written would end the program; and the next file that is
    opened would take its number, so that what a library prints would land in a file of the user's.
    """
    for number in range(FIRST_FREE):
        try:
            os.fstat(number)
        except OSError:
            # The lowest free number is given out, and all below this one are taken.
            os.open(os.devnull, os.O_RDWR)
    if sys.stdout is None:
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115 - for as long as the program runs
    if sys.stderr is None:
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115 - for as long as the program runs
