"""Messages between the window and its helper process: a length in four bytes, then a pickled object.

Both ends are this program, joined by a pipe that nobody else can reach; that is why pickling is safe here.
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct

LENGTH_BYTES: Final = 4


class Task(Struct, frozen=True):
    """Work asked for: a function named as ``module:name``, and its arguments."""

    number: int
    function: str
    arguments: tuple[object, ...]


class Outcome(Struct, frozen=True):
    """What became of a task: its result, or one sentence of error."""

    number: int
    result: object = None
    error: str | None = None


def pack(message: Task | Outcome) -> bytes:
    """A message as bytes with its length in front."""
    import pickle  # here and below: loaded with the first task, not with the window

    body = pickle.dumps(message)
    return len(body).to_bytes(LENGTH_BYTES, "big") + body


class FrameReader:
    """Puts messages together again from whatever pieces a pipe hands over."""

    def __init__(self) -> None:
        self._held = bytearray()

    def feed(self, piece: bytes) -> list[Task | Outcome]:
        """Every message that is complete once `piece` has come."""
        import pickle

        self._held += piece
        messages: list[Task | Outcome] = []
        while len(self._held) >= LENGTH_BYTES:
            end = LENGTH_BYTES + int.from_bytes(self._held[:LENGTH_BYTES], "big")
            if len(self._held) < end:
                break
            messages.append(pickle.loads(bytes(self._held[LENGTH_BYTES:end])))
            del self._held[:end]
        return messages
