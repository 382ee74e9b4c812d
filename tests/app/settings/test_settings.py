"""Settings: kept between two starts, migrated, never lost to one bad line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.settings.settings import HANDS_HEARD, THEMES, VERSION, Settings
from app.settings.settings_store import SettingsStore
from app.settings.settings_text import SettingsError, read_settings, write_settings
from core.performance.output import HandChannel, Output
from core.session.lesson_settings import OPENINGS, SEGMENT_KINDS, LessonSettings, Preset
from core.song.errors import DomainError
from core.song.pattern_grid import Grid, OwnPattern
from core.song.phrase import Phrase
from core.teaching.naming import NAMINGS

SLOW = LessonSettings(speaking_rate=90.0, segments=("together",), segment_phrases=(Phrase("together", "‹words›"),))
ROCKING = OwnPattern("rocking", (Grid.parse("R 8 - 5", 2), Grid.parse("R . 8", 3, compound=True)))
ORGAN = Output("Organ", right=HandChannel(2, 20), left=HandChannel(3), latency=-40)
ANY_SETTINGS = st.builds(
    Settings,
    theme=st.sampled_from(THEMES),
    zoom=st.integers(60, 200),
    text_scale=st.integers(100, 200),
    motion=st.sampled_from(["system", "less"]),
    hints_done=st.integers(0, 3),
    recent=st.lists(st.text(max_size=20), max_size=3).map(tuple),
    folder=st.text(max_size=20),
    hands=st.sampled_from(HANDS_HEARD),
    speed=st.integers(30, 120),
    count_in=st.booleans(),
    again=st.booleans(),
    metronome=st.booleans(),
    speaking_rate=st.floats(60, 300),
    count_in_bars=st.integers(0, 4),
    pause=st.floats(0, 10),
    together_times=st.integers(1, 8),
    first_play_percent=st.integers(30, 150),
    opening=st.sampled_from(OPENINGS),
    naming=st.sampled_from(NAMINGS),
    segments=st.sampled_from([SEGMENT_KINDS, ("right_hand", "run_through")]),
    by_difference=st.booleans(),
    presets=st.sampled_from([(), (Preset("Slow", SLOW),)]),
    embellishments=st.sampled_from([(), ("octaves",), ("broken", "thirds", "own:rocking")]),
    own_patterns=st.sampled_from([(), (ROCKING,)]),
    also=st.sampled_from([(), ("Organ", "Stage piano")]),
    ways=st.sampled_from([(), (ORGAN, Output("piano", latency=5))]),
    segment_phrases=st.builds(
        Phrase, st.sampled_from(SEGMENT_KINDS), st.text(min_size=1, max_size=40).map(lambda text: f"{text}. ‹words›")
    ).map(lambda phrase: (phrase,))
    | st.just(()),
    extra=st.dictionaries(st.sampled_from(("naming_of", "sound")), st.integers() | st.text(max_size=5)).map(
        lambda kept: tuple((name, json.dumps(value, ensure_ascii=False)) for name, value in kept.items())
    ),
)


@given(ANY_SETTINGS)
def test_settings_written_are_the_settings_read(settings: Settings) -> None:
    assert read_settings(write_settings(settings)).settings == settings


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("theme", "pink"),
        ("zoom", 59),
        ("zoom", 201),
        ("text_scale", 99),
        ("text_scale", 201),
        ("motion", "more"),
        ("hints_done", 4),
        ("phrases", ("",)),
        ("speed", 29),
        ("speed", 121),
        ("hands", "feet"),
        ("softer", "both"),
        ("own_hands", "feet"),
        ("clicks", 0),
        ("clicks", 5),
        ("click_percent", 19),
        ("click_percent", 171),
        ("faster", -1),
        ("faster", 21),
        ("pause", 11.0),
        ("embellishments", ("tremolo",)),
        ("embellishments", ("own:",)),
        ("own_patterns", (ROCKING, ROCKING)),
        ("segments", ("opening",)),
        ("opening", "middle"),
        ("last_play_percent", 151),
        ("presets", (Preset("Slow", LessonSettings()), Preset("Slow", LessonSettings()))),
    ],
)
def test_a_value_out_of_its_range_is_refused_by_name(field: str, value: object) -> None:
    with pytest.raises(DomainError):
        replace(Settings(), **{field: value})


def test_the_present_figures_are_kept_under_a_name_and_found_again() -> None:
    slow = Settings(speaking_rate=100.0, right_hand_times=3)
    kept = replace(slow, presets=slow.with_preset("Slow"))
    assert kept.preset == "Slow"
    assert replace(kept, right_hand_times=4).preset == ""
    assert kept.lesson_as("Slow") == slow.lesson()
    assert replace(kept, presets=kept.without_preset("Slow")).presets == ()


def test_a_preset_kept_again_takes_the_place_of_the_older_one() -> None:
    first = Settings(presets=Settings().with_preset("Mine"))
    again = replace(first, pause=3.0)
    (only,) = again.with_preset("Mine")
    assert only.settings.pause == 3.0


@pytest.mark.parametrize("name", ["", " Slow", "x" * 41])
def test_a_preset_needs_a_name_that_can_be_read(name: str) -> None:
    with pytest.raises(DomainError, match="the name of a preset"):
        Settings().with_preset(name)


def test_an_unknown_preset_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(DomainError, match="one of Mine"):
        Settings(presets=Settings().with_preset("Mine")).lesson_as("Yours")
    with pytest.raises(DomainError, match="there is none yet"):
        Settings().lesson_as("Yours")


def test_a_preset_that_makes_no_sense_costs_the_presets_alone() -> None:
    found = read_settings('{"version": 1, "theme": "dark", "presets": [{"name": "Slow", "pause": 99}]}')
    assert found.settings == Settings(theme="dark")
    assert "presets" in found.warnings[0]


def test_a_preset_of_an_older_version_takes_usual_values_for_what_it_does_not_say() -> None:
    found = read_settings('{"version": 1, "presets": [{"name": "Slow", "pause": 3}]}')
    assert found.settings.presets == (Preset("Slow", LessonSettings(pause=3.0)),)


def test_one_bad_line_costs_no_other_setting() -> None:
    found = read_settings('{"version": 1, "theme": "dark", "speed": "fast", "zoom": true}')
    assert found.settings == Settings(theme="dark")
    assert len(found.warnings) == 2
    assert "speed" in found.warnings[0]


def test_an_older_file_is_brought_up_to_date() -> None:
    found = read_settings('{"zoom": 1.25, "theme": "light"}')
    assert found.migrated
    assert found.settings.zoom == 125


def test_text_that_is_no_settings_is_an_error_with_its_place() -> None:
    with pytest.raises(SettingsError, match="line 2"):
        read_settings('{\n"theme" "dark"}')
    with pytest.raises(SettingsError):
        read_settings("[]")


def test_a_change_is_written_at_once_and_read_at_the_next_start(tmp_path: Path) -> None:
    path = tmp_path / "kept" / "settings.json"
    SettingsStore(path).change(theme="dark", speed=70)
    assert SettingsStore(path).settings == Settings(theme="dark", speed=70)
    assert json.loads(path.read_text(encoding="utf-8"))["version"] == VERSION


def test_what_a_later_version_wrote_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_text('{"version": 99, "theme": "dark", "pedal": {"next": 64}}', encoding="utf-8")
    SettingsStore(path).change(speed=50)
    written = json.loads(path.read_text(encoding="utf-8"))
    assert written["pedal"] == {"next": 64}
    assert json.loads((tmp_path / "settings.before.json").read_text(encoding="utf-8"))["version"] == 99


def test_a_damaged_file_is_kept_aside_and_said(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_text("{oh dear", encoding="utf-8")
    store = SettingsStore(path)
    assert store.settings == Settings()
    assert "line 1" in store.troubles[0]
    assert (tmp_path / "settings.before.json").read_text(encoding="utf-8") == "{oh dear"


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("", encoding="utf-8")
    store = SettingsStore(in_the_way / "settings.json")
    said: list[str] = []
    store.trouble.connect(said.append)
    store.change(theme="dark")
    assert store.settings.theme == "dark"
    assert "could not be written" in said[0]


def test_recent_files_are_ten_at_most_newest_first_each_once() -> None:
    settings = Settings()
    for number in range(12):
        settings = replace(settings, recent=settings.with_recent(f"{number}.lesson"))
    settings = replace(settings, recent=settings.with_recent("5.lesson"))
    assert settings.recent[:2] == ("5.lesson", "11.lesson")
    assert len(settings.recent) == len(set(settings.recent)) == 10


@pytest.mark.parametrize("value", [[{"name": "rocking"}], [{"name": "rocking", "grids": [{"cells": 3}]}], "R 5", [1]])
def test_patterns_that_make_no_sense_cost_no_other_setting(value: object) -> None:
    found = read_settings(json.dumps({"version": 1, "own_patterns": value, "speed": 70}))
    assert (found.settings.own_patterns, found.settings.speed) == ((), 70)
    assert len(found.warnings) == 1


def test_a_pattern_is_kept_under_its_name_once() -> None:
    kept = replace(Settings(), own_patterns=Settings().with_pattern(ROCKING))
    other = OwnPattern("rocking", (Grid.parse("R 5"),))
    assert replace(kept, own_patterns=kept.with_pattern(other)).own_patterns == (other,)


def test_outputs_are_the_main_one_and_the_others_each_played_through_in_its_own_way() -> None:
    settings = Settings(output="Stage piano", also=("Organ", "piano", "Stage piano"), ways=(ORGAN,), local_off=True)
    assert settings.outputs == (
        Output("Stage piano", local_off=True),
        replace(ORGAN, local_off=True),
        Output("piano"),
    )
    assert [output.name for output in replace(settings, output="none").outputs] == ["Organ", "piano", "Stage piano"]
    assert not Settings(output="none").outputs


def test_a_way_is_kept_once_for_each_output_and_not_at_all_where_it_is_the_usual_one() -> None:
    settings = Settings(ways=(ORGAN,))
    slower = replace(ORGAN, latency=90)
    assert settings.with_way(slower) == (slower,)
    assert settings.with_way(Output("Organ")) == ()


def test_a_way_that_makes_no_sense_costs_no_other_setting() -> None:
    read = read_settings('{"version": 1, "speed": 80, "ways": [{"name": "Organ", "latency": 9000}]}')
    assert (read.settings.speed, read.settings.ways) == (80, ())
    assert "“ways”" in read.warnings[0]
    again = read_settings('{"version": 1, "ways": [{"name": 7}]}')
    assert "“ways”" in again.warnings[0]
