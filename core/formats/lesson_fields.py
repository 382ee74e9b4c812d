"""The fields of a lesson file, read one by one with their place kept for messages.

A place is written the way JSON tools write it: ``$.parts[0].notes[3].pitch``. Times are quarter notes: a number
where it is exact, a fraction in text (``"1/3"``) where it is not.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import Final, TypeVar

from core.song.errors import BrokenFileError, ChordSymbolError, DomainError
from core.song.note import Extra
from core.song.time import TICKS_PER_QUARTER, ticks
from core.song.wording import say, say_in, to_say

MEND: Final = to_say("mend it in a text editor or open a copy kept elsewhere")
LONGEST_TIME: Final = 10_000_000
"""Quarter notes; four months of music, so that a slip of the keyboard cannot make a song without end."""
_FRACTION: Final = re.compile(r"\s*(-?\d{1,12})\s*(?:/\s*(\d{1,12})\s*)?")

Read = TypeVar("Read")


def json_text(value: object) -> str:
    """A value as the JSON text that a lesson file keeps."""
    return json.dumps(value, ensure_ascii=False)


def quarters_text(tick_count: int) -> str:
    """Ticks as JSON text in quarter notes: a number where four decimals hold it exactly, else a fraction in text."""
    amount = Fraction(tick_count, TICKS_PER_QUARTER)
    if amount.denominator == 1:
        return str(amount.numerator)
    if 10_000 % amount.denominator == 0:
        return f"{float(amount):.4f}".rstrip("0")
    return f'"{amount.numerator}/{amount.denominator}"'


class Fields:
    """One JSON object of a lesson file, at a place, from which fields are taken until only unknown ones are left.

    Args:
        name: the file's name, for messages.
        place: where the object stands.
        found: the object, or whatever stands in its stead; BrokenFileError if it is no object.
    """

    def __init__(self, name: str, place: str, found: object) -> None:
        self._name = name
        self.place = place
        self._unread: dict[str, object] = {}
        if not isinstance(found, Mapping):
            raise self.broken(
                "", say("a group of fields in braces is wanted, and there is {found}", found=describe(found))
            )
        self._unread.update(found)

    def broken(self, field: str, trouble: str) -> BrokenFileError:
        """The error for one of the fields, or for the object itself where `field` is empty."""
        return BrokenFileError(self._name, f"{self.place}.{field}" if field else self.place, trouble, say(MEND))

    def _take(self, field: str, default: object) -> object:
        if field in self._unread:
            return self._unread.pop(field)
        if default is None:
            raise self.broken(field, say("this field is missing"))
        return default

    def has(self, field: str) -> bool:
        """Whether a field is there and not yet taken."""
        return field in self._unread

    def text(self, field: str, default: str | None = None) -> str:
        """Take a field of text; BrokenFileError if it is missing without a default, or something else."""
        found = self._take(field, default)
        if not isinstance(found, str):
            raise self.broken(field, say("text is wanted, and there is {found}", found=describe(found)))
        return found

    def flag(self, field: str, default: bool) -> bool:
        """Take a field that is true or false."""
        found = self._take(field, default)
        if not isinstance(found, bool):
            raise self.broken(field, say("true or false is wanted, and there is {found}", found=describe(found)))
        return found

    def whole_number(self, field: str, default: int | None = None) -> int:
        """Take a whole number."""
        found = self._take(field, default)
        if isinstance(found, bool) or not isinstance(found, int):
            raise self.broken(field, say("a whole number is wanted, and there is {found}", found=describe(found)))
        return found

    def number(self, field: str, default: float | None = None) -> float:
        """Take a number."""
        found = self._take(field, default)
        if isinstance(found, bool) or not isinstance(found, int | float):
            raise self.broken(field, say("a number is wanted, and there is {found}", found=describe(found)))
        return float(found)

    def time(self, field: str, default: int | None = None) -> int:
        """Take a time in quarter notes as ticks, to the nearest tick."""
        if default is not None and field not in self._unread:
            return default
        found = self._take(field, None)
        amount: Fraction | None = None
        if isinstance(found, str):
            parts = _FRACTION.fullmatch(found)
            if parts is not None and int(parts[2] or 1):
                amount = Fraction(int(parts[1]), int(parts[2] or 1))
        elif isinstance(found, int | float) and not isinstance(found, bool):
            amount = Fraction(found)
        if amount is None:
            raise self.broken(
                field,
                say(
                    'quarter notes are wanted, as a number or as text such as "1/3", and there is {found}',
                    found=describe(found),
                ),
            )
        if abs(amount) > LONGEST_TIME:
            raise self.broken(field, say("this time is longer than any song"))
        return ticks(amount)

    def items(self, field: str, default: tuple[object, ...] | None = None) -> Iterator[tuple[str, object]]:
        """Take a list; each item comes with its place."""
        found = self._take(field, default)
        if not isinstance(found, list | tuple):
            raise self.broken(field, say("a list in brackets is wanted, and there is {found}", found=describe(found)))
        for index, item in enumerate(found):
            yield f"{self.place}.{field}[{index}]", item

    def groups(self, field: str, default: tuple[object, ...] | None = None) -> Iterator[Fields]:
        """Take a list of objects."""
        for place, item in self.items(field, default):
            yield Fields(self._name, place, item)

    def group(self, field: str) -> Fields:
        """Take one object; a missing one is read as an empty one."""
        return Fields(self._name, f"{self.place}.{field}", self._unread.pop(field, {}))

    def checked(self, field: str, make: Callable[[], Read]) -> Read:
        """What `make` makes, with an error of the domain turned into one that names the place."""
        try:
            return make()
        except (DomainError, ChordSymbolError) as error:
            raise self.broken(field, str(error).rstrip(".")) from error

    def unread(self, prefix: str = "") -> Extra:
        """The fields that nobody took: names, each with `prefix` before it, and JSON texts."""
        return tuple((prefix + field, json_text(value)) for field, value in self._unread.items())


def describe(found: object) -> str:
    """What stands at a place, in words."""
    if found is None:
        return say("nothing (null)")
    if isinstance(found, bool):
        return "true" if found else "false"
    if isinstance(found, str):
        return say_in("what stands in a file", "text") if len(found) > 40 else say("the text “{text}”", text=found)
    if isinstance(found, int | float):
        return say("the number {number}", number=found)
    return say("a list") if isinstance(found, list) else say("a group of fields")
