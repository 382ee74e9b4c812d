"""Real MIDI ports on a machine without any: a JACK server with the dummy driver, and a listener and a keyboard on it.

They live in a process of their own, which a test can end whatever the server does. Run as a program it serves its
standard input and output: it prints ``ready`` and the server's name, then every message that its port hears as
``seconds status data data``; a line of numbers is sent from its keyboard. It ends with its input, or with its parent.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TextIO

import pytest
import rtmidi

from app.resources import HOME

LISTENER = "phrasebench-listener"
KEYBOARD = "phrasebench-keyboard"
START_SECONDS = 30.0
END_SECONDS = 6.0
PERIOD = "1024"
"""Frames: long enough that a busy machine seldom delays anyone past it."""
PATIENT = ("--sync", "--timeout", "500")
"""Have the server wait, up to so many milliseconds, for a client that is late with its period. It would go on without
it otherwise, and what that client had sent or was to hear in the period would be lost on the way (jackd(1))."""
SMALL = ("--port-max", "128")
"""Ports that the server makes room for: with the usual number each takes 100 MB of shared memory, and several servers
would not fit beside one another."""
SERVERS = 8
"""A machine has places for so many (JACK 2, common/JackConstants.h, from memory), and one that was killed keeps its
place until another of the same name starts: hence few names, used again and again."""
END_WITH_PARENT = 1
"""The number of that request to Linux (prctl, PR_SET_PDEATHSIG)."""


class Patchbay:
    """The listener and the keyboard, as a test sees them.

    Attributes:
        environment: what a process needs in its environment to find the ports.
    """

    def __init__(self, period: str = PERIOD) -> None:
        if sys.platform != "linux" or shutil.which("jackd") is None:
            pytest.skip("jackd is not installed (Debian package jackd2), so there are no MIDI ports to test with")
        self.environment: dict[str, str] = {}
        self._heard: list[tuple[float, tuple[int, ...]]] = []
        self._unread = b""
        self._ready = False
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.helpers.midi_patchbay", period],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": str(HOME)},
            start_new_session=True,
        )
        assert self._process.stdout is not None
        os.set_blocking(self._process.stdout.fileno(), False)
        limit = time.monotonic() + START_SECONDS
        while not self._ready and time.monotonic() < limit:
            self._read()
            time.sleep(0.02)
        if not self._ready:
            self.close()
            pytest.skip("jackd does not start on this machine, so there are no MIDI ports to test with")

    @property
    def heard(self) -> list[tuple[float, tuple[int, ...]]]:
        """Everything the listener has heard since it was cleared, each with the time of `time.perf_counter`."""
        self._read()
        return self._heard

    @property
    def messages(self) -> list[tuple[int, ...]]:
        """What it was."""
        return [message for _, message in self.heard]

    @property
    def keys_down(self) -> set[int]:
        """Keys of which the last thing heard is that they went down."""
        down: set[int] = set()
        for message in self.messages:
            if message[0] & 0xF0 == 0x90 and message[2]:
                down.add(message[1])
            elif message[0] & 0xF0 in (0x80, 0x90):
                down.discard(message[1])
        return down

    def press(self, *message: int) -> None:
        """Send a message from the keyboard."""
        assert self._process.stdin is not None
        self._process.stdin.write(" ".join(map(str, message)).encode() + b"\n")
        self._process.stdin.flush()

    @contextmanager
    def standing_still(self) -> Iterator[None]:
        """Have the server stop where it is, and go on afterwards."""
        children = Path(f"/proc/{self._process.pid}/task/{self._process.pid}/children").read_text(encoding="ascii")
        servers = [int(process) for process in children.split()]
        for process in servers:
            os.kill(process, signal.SIGSTOP)
        try:
            yield
        finally:
            for process in servers:
                os.kill(process, signal.SIGCONT)

    def close(self) -> None:
        """End it all, the server too: gently where that works, since a killed server leaves its place taken."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        with suppress(OSError):
            self._process.stdin.close()
        with suppress(subprocess.TimeoutExpired):
            self._process.wait(END_SECONDS)
        with suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()
        self._process.stdout.close()

    def _read(self) -> None:
        assert self._process.stdout is not None
        *lines, self._unread = (self._unread + (self._process.stdout.read() or b"")).split(b"\n")
        for line in lines:
            if line.startswith(b"ready"):
                self.environment["JACK_DEFAULT_SERVER"] = line.split()[1].decode()
                self._ready = True
                continue
            seconds, *message = line.split()
            self._heard.append((float(seconds), tuple(map(int, message))))


@contextmanager
def patchbay(period: str = PERIOD) -> Iterator[Patchbay]:
    """Ports for a test; skips it where there can be none."""
    found = Patchbay(period)
    try:
        yield found
    finally:
        found.close()


def _end_with_parent() -> None:
    ctypes.CDLL(None).prctl(END_WITH_PARENT, signal.SIGTERM)


def _own_place() -> tuple[str, TextIO]:
    """A server's name that no other process uses now; it is free again when its file is closed, however that comes."""
    import fcntl

    while True:
        for number in range(SERVERS):
            name = f"phrasebench-{number}"
            file = (Path(tempfile.gettempdir()) / f"{name}.midi-server").open("w", encoding="ascii")
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                file.close()
                continue
            return name, file
        time.sleep(0.2)


def _started(server: str, period: str) -> tuple[subprocess.Popen[bytes], rtmidi.MidiIn] | None:
    """A server of that name and a listener on it; None where it does not start."""
    os.environ["JACK_DEFAULT_SERVER"] = server
    driver = ("-d", "dummy", "-r", "48000", "-p", period)
    command = ["jackd", "--no-realtime", *PATIENT, *SMALL, "-n", server, *driver]
    quiet = subprocess.DEVNULL
    jack = subprocess.Popen(command, stdout=quiet, stderr=quiet, preexec_fn=_end_with_parent)
    while jack.poll() is None:
        try:
            return jack, rtmidi.MidiIn(rtmidi.API_UNIX_JACK, LISTENER)
        except (rtmidi.RtMidiError, OSError):
            time.sleep(0.1)
    return None


def _serve(period: str) -> None:
    _end_with_parent()
    while True:
        server, place = _own_place()
        if (started := _started(server, period)) is not None:
            break
        time.sleep(0.2)
        place.close()
    jack, listener = started
    listener.set_callback(lambda message, _: _say(f"{time.perf_counter()} {' '.join(map(str, message[0]))}"))
    listener.open_virtual_port("in")
    keyboard = rtmidi.MidiOut(rtmidi.API_UNIX_JACK, KEYBOARD)
    keyboard.open_virtual_port("out")
    _say(f"ready {server}")
    for line in sys.stdin:
        keyboard.send_message([int(number) for number in line.split()])
    listener.delete()
    keyboard.delete()
    jack.terminate()
    with suppress(subprocess.TimeoutExpired):
        jack.wait(END_SECONDS / 2)


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    _serve(sys.argv[1])
    os._exit(0)
