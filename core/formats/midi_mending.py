"""Damaged MIDI files, mended as far as that is possible without guessing at notes.

Standard MIDI files in the wild carry key signatures of fifteen sharps, meta events of the wrong length, tracks cut
short. An event that says nothing sensible is made a text event of the same length (so that all times stay), a
track that breaks off is ended where it breaks off, and every repair is named.

The chunk and event layout is that of the Standard MIDI File Specification 1.1 (MIDI Manufacturers Association).
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct, field

from core.song.wording import say, to_say

HEADER: Final = b"MThd"
TRACK: Final = b"MTrk"
META: Final = 0xFF
TEXT: Final = 0x01
END_OF_TRACK: Final = 0x2F
SET_TEMPO: Final = 0x51
KEY_SIGNATURE: Final = 0x59
LENGTHS: Final = {
    0x20: (1,),
    0x21: (1,),
    END_OF_TRACK: (0,),
    SET_TEMPO: (3,),
    0x54: (5,),
    0x58: (4,),
    KEY_SIGNATURE: (2,),
}
"""Lengths of meta events that have a fixed one."""
SENSELESS: Final = {
    SET_TEMPO: to_say("A tempo that makes no sense was left out."),
    0x54: to_say("A time offset that makes no sense was left out."),
    0x58: to_say("A time signature that makes no sense was left out."),
    KEY_SIGNATURE: to_say("A key signature that makes no sense was left out."),
}
SENSELESS_OTHER: Final = to_say("A meta event that makes no sense was left out.")
DATA_BYTES: Final = {0x80: 2, 0x90: 2, 0xA0: 2, 0xB0: 2, 0xC0: 1, 0xD0: 1, 0xE0: 2}
END: Final = bytes((0, META, END_OF_TRACK, 0))


class _Broken(Exception):
    """The track makes no sense from here on."""


class _Track(Struct):
    """Reads one track's bytes and collects mended ones."""

    data: bytes
    place: int = 0
    mended: bytearray = field(default_factory=bytearray)
    status: int = 0
    ended: bool = False

    def byte(self) -> int:
        if self.place >= len(self.data):
            raise _Broken
        self.place += 1
        return self.data[self.place - 1]

    def taken(self, count: int) -> bytes:
        if self.place + count > len(self.data):
            raise _Broken
        self.place += count
        return self.data[self.place - count : self.place]

    def quantity(self) -> int:
        """A variable-length quantity of at most four bytes."""
        amount = 0
        for _ in range(4):
            byte = self.byte()
            amount = amount << 7 | byte & 0x7F
            if byte < 0x80:
                return amount
        raise _Broken

    def mend_event(self, warnings: list[str]) -> None:
        start = self.place
        self.quantity()
        status = self.byte()
        if status == META:
            kind_place = self.place
            kind = self.byte()
            payload = self.taken(self.quantity())
            event = bytearray(self.data[start : self.place])
            self.ended = kind == END_OF_TRACK
            if not _makes_sense(kind, payload):
                warnings.append(say(SENSELESS.get(kind, SENSELESS_OTHER)))
                event[kind_place - start] = TEXT
                self.ended = False
            self.mended += event
            return
        if status in (0xF0, 0xF7):
            self.taken(self.quantity())
        elif status > 0xF0:
            raise _Broken
        else:
            wanted = DATA_BYTES.get(status & 0xF0)
            if wanted is None:
                # A data byte: the status of the event before it runs on.
                wanted = DATA_BYTES.get(self.status & 0xF0, 0) - 1
                if wanted < 0:
                    raise _Broken
            else:
                self.status = status
            if any(byte > 0x7F for byte in self.taken(wanted)):
                raise _Broken
        self.mended += self.data[start : self.place]


def mended(data: bytes) -> tuple[bytes, tuple[str, ...]]:
    """A MIDI file with what makes no sense taken out, and what that was.

    Args:
        data: a file that begins with a header chunk.
    """
    warnings: list[str] = []
    header_length = int.from_bytes(data[4:8], "big")
    header = data[8 : 8 + max(6, header_length)].ljust(6, b"\0")
    tracks: list[bytes] = []
    place = 8 + header_length
    while place + 8 <= len(data):
        name, length = data[place : place + 4], int.from_bytes(data[place + 4 : place + 8], "big")
        if name == TRACK:
            track = _Track(data[place + 8 : place + 8 + length])
            if len(track.data) < length:
                warnings.append(
                    say("Track {number} is cut short; what there is of it was read.", number=len(tracks) + 1)
                )
            _mend_track(track, len(tracks) + 1, warnings)
            tracks.append(bytes(track.mended))
        place += 8 + length
    body = b"".join(TRACK + len(track).to_bytes(4, "big") + track for track in tracks)
    count = len(tracks).to_bytes(2, "big")
    return HEADER + (6).to_bytes(4, "big") + header[:2] + count + header[4:6] + body, tuple(dict.fromkeys(warnings))


def _mend_track(track: _Track, number: int, warnings: list[str]) -> None:
    while not track.ended and track.place < len(track.data):
        try:
            track.mend_event(warnings)
        except _Broken:
            warnings.append(say("Track {number} is damaged; what comes before the damage was read.", number=number))
            break
    if not track.ended:
        track.mended += END


def _makes_sense(kind: int, payload: bytes) -> bool:
    if kind in LENGTHS and len(payload) not in LENGTHS[kind]:
        return False
    if kind == KEY_SIGNATURE:
        sharps = payload[0] - 256 if payload[0] > 127 else payload[0]
        return -7 <= sharps <= 7 and payload[1] in (0, 1)
    if kind == SET_TEMPO:
        return any(payload)
    return True
