"""Which threads of the engine go first when the machine is busy, as far as the system allows it."""

from __future__ import annotations

import os
import sys
import threading
from contextlib import suppress
from typing import Final

FIRST: Final = 5
"""Of Linux's real-time priorities, well below those of the system's own threads."""
LATER: Final = 10
"""Of the nice values: work that may wait."""


def go_first() -> None:
    """Let the thread that calls go before all ordinary ones; it must rest most of the time."""
    if sys.platform == "linux":
        with suppress(OSError):  # ordinary users may not, unless their system is set up for sound
            os.sched_setscheduler(threading.get_native_id(), os.SCHED_RR, os.sched_param(FIRST))


def go_later() -> None:
    """Let the thread that calls wait for the others."""
    if sys.platform == "linux":
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), LATER)
