from collections.abc import Iterable, Sequence
from typing import Any

from mido.messages import BaseMessage

class KeySignatureError(Exception): ...

class MetaMessage(BaseMessage):
    def __init__(self, type: str, skip_checks: bool = ..., **kwargs: Any) -> None: ...

class UnknownMetaMessage(MetaMessage):
    def __init__(
        self, type_byte: int, data: Iterable[int] | None = ..., time: int = ..., type: str = ..., **kwargs: Any
    ) -> None: ...

def encode_variable_int(value: int) -> list[int]: ...
def decode_variable_int(value: Sequence[int]) -> int: ...
