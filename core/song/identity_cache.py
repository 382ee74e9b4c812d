"""A cache of values by the identity of what they were computed from."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import wraps
from typing import Final, Generic, TypeVar

Value = TypeVar("Value")
Source = TypeVar("Source")

MOST_KEPT: Final = 1024


class IdentityCache(Generic[Value]):
    """Values kept by the identity of what they were computed from; the longest unused go first.

    What a value was computed from is held on to, so that an identity cannot come to mean another object.
    """

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, tuple[tuple[object, ...], Value]] = OrderedDict()

    def get(self, objects: tuple[object, ...], facts: tuple[Hashable, ...]) -> Value | None:
        """The value for these very objects and equal facts, or None."""
        key = (tuple(map(id, objects)), facts)
        found = self._kept.get(key)
        if found is None:
            return None
        self._kept.move_to_end(key)
        return found[1]

    def put(self, objects: tuple[object, ...], facts: tuple[Hashable, ...], value: Value) -> Value:
        """Keep a value and give it back."""
        self._kept[(tuple(map(id, objects)), facts)] = (objects, value)
        while len(self._kept) > self._most:
            self._kept.popitem(last=False)
        return value


def kept_by_identity(function: Callable[[Source], Value]) -> Callable[[Source], Value]:
    """A function of one object that is not asked twice about the very same object."""
    kept: IdentityCache[tuple[Value]] = IdentityCache()

    @wraps(function)
    def found(source: Source) -> Value:
        known = kept.get((source,), ())
        return known[0] if known is not None else kept.put((source,), (), (function(source),))[0]

    return found
