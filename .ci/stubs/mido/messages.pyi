from collections.abc import Iterable
from typing import Any, Self

# A message has only the attributes of its own type; the type says which.
class BaseMessage:
    is_meta: bool
    type: str
    time: int
    channel: int
    note: int
    velocity: int
    control: int
    value: int
    program: int
    pitch: int
    data: tuple[int, ...]
    text: str
    name: str
    tempo: int
    key: str
    numerator: int
    denominator: int
    clocks_per_click: int
    notated_32nd_notes_per_beat: int
    type_byte: int
    @property
    def is_realtime(self) -> bool: ...
    def bytes(self) -> list[int]: ...
    def bin(self) -> bytearray: ...
    def hex(self, sep: str = ...) -> str: ...
    def dict(self) -> dict[str, Any]: ...
    def is_cc(self, control: int | None = ...) -> bool: ...
    def copy(self, **overrides: Any) -> Self: ...

class Message(BaseMessage):
    def __init__(self, type: str, skip_checks: bool = ..., **args: Any) -> None: ...
    def copy(self, skip_checks: bool = ..., **overrides: Any) -> Self: ...
    @classmethod
    def from_bytes(cls, data: Iterable[int], time: float = ...) -> Message: ...
