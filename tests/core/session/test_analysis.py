import json

import pytest

from core.edits.rename_note import rename_note
from core.edits.set_finger import set_finger
from core.session.analysis import IdentityCache, analyse_part
from core.session.inspection import FIELDS, inspect_song
from core.song.errors import DomainError
from core.song.pitch import NoteName
from tests.helpers.songs import DEMO_SONGS, night_ferry


def test_an_edit_costs_its_own_part_only() -> None:
    song = night_ferry()
    before = [analyse_part(song, number) for number in (1, 2, 3)]
    after = rename_note(song, 2, 1, NoteName("D"))
    assert analyse_part(after, 1) is before[0]
    assert analyse_part(after, 3) is before[2]
    assert analyse_part(after, 2) is not before[1]
    assert analyse_part(song, 2) is before[1]


def test_the_cache_forgets_the_longest_unused() -> None:
    cache: IdentityCache[str] = IdentityCache(most=2)
    first, second, third = object(), object(), object()
    cache.put((first,), (), "first")
    cache.put((second,), (), "second")
    assert cache.get((first,), ()) == "first"
    cache.put((third,), (), "third")
    assert cache.get((second,), ()) is None
    assert cache.get((first,), ()) == "first"
    assert cache.get((first,), (1,)) is None


def test_an_inspection_has_every_field_and_is_plain_json() -> None:
    found = inspect_song(night_ferry())
    assert list(found) == list(FIELDS)
    assert json.loads(json.dumps(found)) == found
    assert found["title"] == "Night Ferry"
    assert found["key"]["name"] == "E dorian"  # type: ignore[index]
    assert found["metre"] == "4/4"
    assert found["tempo"] == {"bpm": 84, "given": True}
    assert found["length"] == 32
    assert found["playing_order"] == [1, 2, 3]


def test_landings_name_chord_and_note() -> None:
    assert inspect_song(night_ferry(), {"landings"})["landings"] == [
        {"onset": 0.0, "chord": "Em", "with": "E4", "nth": 1},
        {"onset": 8.0, "chord": "A", "with": "C#5", "nth": 1},
        {"onset": 16.0, "chord": "G", "with": None, "nth": None},
        {"onset": 20.0, "chord": "D", "with": "F#4", "nth": 1},
        {"onset": 28.0, "chord": "Em", "with": "E4", "nth": 1},
    ]


def test_chords_are_spelled_voiced_and_fingered() -> None:
    chords = inspect_song(night_ferry(), {"chords"})["chords"]
    first = chords[0]  # type: ignore[index]
    assert first["tones"] == ["E", "G", "B"]
    assert first["voicing"] == ["E3", "G3", "B3"]
    assert len(first["fingers"]) == 3


def test_a_finger_of_the_teachers_own_is_said_to_be_given() -> None:
    notes = inspect_song(set_finger(night_ferry(), 1, 2, 5), {"notes"})["notes"]
    assert (notes[2]["finger"], notes[2]["finger_given"]) == (5, True)  # type: ignore[index]
    assert notes[0]["finger_given"] is False  # type: ignore[index]


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_notes_come_in_order_with_names_of_their_keys(name: str) -> None:
    song = DEMO_SONGS[name]()
    notes = inspect_song(song, {"notes"})["notes"]
    assert [(note["onset"], note["midi"]) for note in notes] == sorted(  # type: ignore[attr-defined]
        (note["onset"], note["midi"])
        for note in notes  # type: ignore[attr-defined]
    )
    assert len(notes) == sum(len(part.notes) for part in song.parts)  # type: ignore[arg-type]


def test_only_the_fields_named_are_computed() -> None:
    assert list(inspect_song(night_ferry(), {"effort", "title", "file"})) == ["title", "effort"]
    with pytest.raises(DomainError, match="'mood'"):
        inspect_song(night_ferry(), {"mood"})
