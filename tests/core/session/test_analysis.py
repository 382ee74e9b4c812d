import json

import pytest
from msgspec.structs import replace

from core.edits.rename_note import rename_note
from core.edits.set_finger import set_finger
from core.session.analysis import analyse_part
from core.session.inspection import FIELDS, inspect_song
from core.song.errors import DomainError
from core.song.identity_cache import IdentityCache
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import NoteName, Pitch
from tests.helpers.songs import DEMO_SONGS, night_ferry


def test_an_edit_costs_its_own_part_only() -> None:
    song = night_ferry()
    before = [analyse_part(song, number) for number in (1, 2, 3)]
    after = rename_note(song, 2, 1, NoteName("D"))
    assert analyse_part(after, 1) is before[0]
    assert analyse_part(after, 3) is before[2]
    assert analyse_part(after, 2) is not before[1]
    assert analyse_part(song, 2) is before[1]


def test_words_follow_an_edit_in_the_part_that_comes_back() -> None:
    song = DEMO_SONGS["lamplighters_waltz"]()
    song = replace(song, parts=(*song.parts, song.parts[1]))
    again = len(song.parts)
    last = analyse_part(song, again)
    assert last.words_of("right_hand").startswith(f"Part {again} is part 2 again. Start on")
    changed = rename_note(song, 2, 0, NoteName("A", -1))
    assert not analyse_part(changed, again).words_of("right_hand").startswith(f"Part {again} is part 2 again.")
    assert analyse_part(song, again) is last


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
    assert found["key"]["name"] == "E dorian"  # type: ignore[index]  # an inspection is JSON, whose shape mypy cannot know
    assert found["metre"] == "4/4"
    assert found["tempo"] == {"bpm": 84, "given": True}
    assert found["length"] == 32
    assert found["playing_order"] == [1, 2, 3]


def test_an_inspection_tells_the_keys_and_what_notes_and_chords_are_in_them() -> None:
    found = inspect_song(night_ferry(), {"key_changes", "notes", "chords"})
    changes = [(change["onset"], change["key"]) for change in found["key_changes"]]  # type: ignore[attr-defined]  # an inspection is JSON, whose shape mypy cannot know
    assert changes == [(0.0, "E dorian")]
    degrees = {note["pitch"]: note["degree"] for note in found["notes"]}  # type: ignore[attr-defined]  # an inspection is JSON, whose shape mypy cannot know
    assert (degrees["E4"], degrees["C#5"]) == ("1", "6")
    numerals = {chord["symbol"]: chord["roman"] for chord in found["chords"]}  # type: ignore[attr-defined]  # an inspection is JSON, whose shape mypy cannot know
    assert numerals == {"Em": "i", "A": "IV", "G": "III", "D": "VII"}


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
    first = chords[0]  # type: ignore[index]  # an inspection is JSON, whose shape mypy cannot know
    assert first["tones"] == ["E", "G", "B"]
    assert first["voicing"] == ["E3", "G3", "B3"]
    assert len(first["fingers"]) == 3


def test_a_finger_of_the_teachers_own_is_said_to_be_given() -> None:
    notes = inspect_song(set_finger(night_ferry(), 1, 2, 5), {"notes"})["notes"]
    assert (notes[2]["finger"], notes[2]["finger_given"]) == (5, True)  # type: ignore[index]  # an inspection is JSON, whose shape mypy cannot know
    assert notes[0]["finger_given"] is False  # type: ignore[index]  # an inspection is JSON, whose shape mypy cannot know


@pytest.mark.parametrize("name", DEMO_SONGS)
def test_notes_come_in_order_with_names_of_their_keys(name: str) -> None:
    song = DEMO_SONGS[name]()
    notes = inspect_song(song, {"notes"})["notes"]
    assert [(note["onset"], note["midi"]) for note in notes] == sorted(  # type: ignore[attr-defined]  # an inspection is JSON, whose shape mypy cannot know
        (note["onset"], note["midi"])
        for note in notes  # type: ignore[attr-defined]  # an inspection is JSON, whose shape mypy cannot know
    )
    assert len(notes) == sum(len(part.notes) for part in song.parts)  # type: ignore[arg-type]  # an inspection is JSON, whose shape mypy cannot know


def test_only_the_fields_named_are_computed() -> None:
    assert list(inspect_song(night_ferry(), {"effort", "title", "file"})) == ["title", "effort"]
    with pytest.raises(DomainError, match="'mood'"):
        inspect_song(night_ferry(), {"mood"})


def test_what_is_beyond_the_hands_and_what_tires_them_is_told() -> None:
    tenths = [
        Note(beat * 10_080, 10_080, Pitch.parse(name), Hand.LEFT, melody=False)
        for beat in range(16)
        for name in ("C3", "E4")
    ]
    song = night_ferry()
    part = replace(song.part(1), notes=in_order(tenths), duration=16 * 10_080)
    song = replace(song, parts=(part, *song.parts[1:]))
    report = inspect_song(song, ["notes", "parts", "cautions"])
    notes, parts, cautions = (report[name] for name in ("notes", "parts", "cautions"))
    assert isinstance(notes, list)
    assert isinstance(parts, list)
    assert isinstance(cautions, list)
    marked = [note["pitch"] for note in notes if "beyond_reach" in note]
    assert marked == ["E4"] * 16
    assert notes[1]["beyond_reach"]["alternative"].startswith("leave out the upper E, or roll")
    assert [(caution["kind"], caution["bars"], caution["hand"]) for caution in cautions] == [
        ("wide stretches", [1, 4], "left")
    ]
    remarks = parts[0]["to_look_at"]
    assert cautions[0]["sentence"] in remarks
    # The same tenth sixteen times is told once.
    assert sum("a tenth from C up to E" in remark for remark in remarks) == 1


def test_an_inspection_says_where_each_hand_lies() -> None:
    report = inspect_song(night_ferry(), ["parts"])["parts"]
    assert isinstance(report, list)
    assert [(place["onset"], place["hand"], place["thumb"], place["little"]) for place in report[0]["positions"]] == [
        (0, "right", "E4", "B4"),
        (0, "left", "B3", "E3"),
    ]
    assert report[0]["positions"][0]["words"] == "thumb on E to fifth finger on B"
