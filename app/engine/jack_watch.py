"""Watches a JACK server: which MIDI ports it has, and whether it still runs.

The library that plays and listens makes a client that takes part in JACK's work even to ask for names, and one that
comes or goes has the server order all of them anew, which delays what is being sent. This client takes part in
nothing: it is opened and never activated, asks for names as often as it likes, and hears when the server ends. A
server that has died is otherwise not noticed: its clients can go on asking for names and sending as if it ran.
(Functions, flags and types: the JACK API's reference, jack.h and types.h.)
"""

from __future__ import annotations

import ctypes
import threading
import time
from pathlib import Path
from typing import Final

OWN_CLIENT: Final = "Phrasebench"
"""The name of this program's clients."""
NO_START: Final = 0x01
IS_INPUT: Final = 0x1
IS_OUTPUT: Final = 0x2
MIDI_TYPE: Final = b"8 bit raw midi"
STILL_SECONDS: Final = 2.0
"""A server whose time has stood still for so long takes nothing any more; a period is a twentieth of it at most."""

_Ended = ctypes.CFUNCTYPE(None, ctypes.c_void_p)


class JackWatch:
    """Lists the MIDI ports of a JACK server without disturbing it.

    Args:
        library: the server's client library, as `jack_library` finds it.
    """

    def __init__(self, library: ctypes.CDLL) -> None:
        self._jack = library
        self._dead = threading.Event()
        self._when_ended = _Ended(lambda _: self._dead.set())
        self._client: int | None = None
        self._frame = -1
        self._moved = 0.0
        self._begin()

    def stands_still(self) -> bool:
        """Whether the server's time has stopped: whoever sends to it then waits for ever once its buffer is full."""
        client = self._client
        if client is None:
            return False
        frame, now = self._jack.jack_last_frame_time(client), time.monotonic()
        if frame != self._frame:
            self._frame, self._moved = frame, now
        return now - self._moved > STILL_SECONDS

    def outputs(self) -> list[str]:
        """Ports that can be played to; none where the server has died, until there is one again."""
        if self._dead.is_set():
            self.close()
        elif self._client is None:
            self._begin()
        return self._ports(IS_INPUT)

    def inputs(self) -> list[str]:
        """Ports that can be listened to, likewise."""
        return self._ports(IS_OUTPUT)

    def close(self) -> None:
        """Take leave of the server."""
        client, self._client = self._client, None
        if client is not None:
            self._jack.jack_client_close(client)
        self._dead.clear()

    def _begin(self) -> None:
        """Take up a server, if one runs."""
        self._client = self._jack.jack_client_open(OWN_CLIENT.encode(), NO_START, None)
        if self._client is not None:
            self._jack.jack_on_shutdown(self._client, self._when_ended, None)

    def _ports(self, flags: int) -> list[str]:
        if self._client is None or self.stands_still():
            return []
        names = self._jack.jack_get_ports(self._client, None, MIDI_TYPE, flags)
        found: list[str] = []
        while names and names[len(found)]:
            found.append(names[len(found)].decode("utf-8", "replace"))
        if names:
            self._jack.jack_free(names)
        return found


def jack_library() -> ctypes.CDLL | None:
    """The client library of JACK that the MIDI library has loaded, ready to be called; None where it is not found.

    It must be that very one: two of them in a process do not know of each other's clients.
    """
    try:
        lines = Path("/proc/self/maps").read_text(encoding="utf-8", errors="surrogateescape").splitlines()
    except OSError:
        return None
    paths = {line.split(maxsplit=5)[-1] for line in lines if "/libjack" in line}
    if len(paths) != 1:
        return None
    try:
        library = ctypes.CDLL(paths.pop())
        library.jack_client_open.restype = ctypes.c_void_p
        library.jack_client_open.argtypes = (ctypes.c_char_p, ctypes.c_int, ctypes.c_void_p)
        library.jack_client_close.argtypes = (ctypes.c_void_p,)
        library.jack_on_shutdown.argtypes = (ctypes.c_void_p, _Ended, ctypes.c_void_p)
        library.jack_get_ports.restype = ctypes.POINTER(ctypes.c_char_p)
        library.jack_get_ports.argtypes = (ctypes.c_void_p, ctypes.c_char_p, ctypes.c_char_p, ctypes.c_ulong)
        library.jack_last_frame_time.restype = ctypes.c_uint32
        library.jack_last_frame_time.argtypes = (ctypes.c_void_p,)
        library.jack_free.argtypes = (ctypes.c_void_p,)
    except (OSError, AttributeError):
        return None
    return library
