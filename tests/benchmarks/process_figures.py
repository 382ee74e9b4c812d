"""What a process uses, as Linux tells it: processor time and memory."""

from __future__ import annotations

import os
from pathlib import Path

TICK = 1 / os.sysconf("SC_CLK_TCK")
PAGE_MB = os.sysconf("SC_PAGE_SIZE") / 2**20
USER_TIME = 11
"""Place of a process's own time among the fields of /proc/PID/stat that follow its name; the system's for it is next
(proc(5))."""


def processor_seconds(process: int) -> float:
    """Seconds of processor time that a process has used, all its threads together."""
    fields = Path(f"/proc/{process}/stat").read_text(encoding="ascii", errors="replace").rsplit(")", 1)[1].split()
    return (int(fields[USER_TIME]) + int(fields[USER_TIME + 1])) * TICK


def resident_megabytes(process: int) -> float:
    """Megabytes of memory that a process holds."""
    return int(Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1]) * PAGE_MB
