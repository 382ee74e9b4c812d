"""What people read of an inspection is said in the language chosen; what programs go by is the same in every one."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from core.session.inspection import inspect_song
from tests.helpers.marked_language import OPEN, marked_language
from tests.helpers.songs import DEMO_SONGS

READ = frozenset(
    {
        *("sentence", "reason", "hand_reason", "words", "right_hand", "left_hand", "together"),
        *("reasons", "to_look_at", "script_check", "cautions", "warnings"),
    }
)
"""The fields that are for people."""


def strings(value: object, field: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, inside in value.items():
            yield from strings(inside, str(name))
    elif isinstance(value, list | tuple):
        for inside in value:
            yield from strings(inside, field)
    elif isinstance(value, str):
        yield field, value


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_what_people_read_is_said_and_nothing_else(name: str) -> None:
    with marked_language():
        found = list(strings(inspect_song(DEMO_SONGS[name]())))
    assert {field for field, text in found if text.startswith(OPEN)} <= READ
    assert [(field, text) for field, text in found if field in READ and not text.startswith(OPEN)] == []
    assert {"sentence", "reason", "words", "right_hand"} <= {field for field, _ in found}
