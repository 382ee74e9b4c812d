from __future__ import annotations

import pytest

from core.arranging.embellished import chosen_words
from core.arranging.embellishments import EMBELLISHMENTS, embellishment_named
from core.edits.own_patterns import keep_pattern
from core.edits.set_teaching import set_harmony, set_pedal, set_rhythm
from core.performance.schedule import make_schedule
from core.performance.selection import Selection
from core.session.lesson_settings import LessonSettings
from core.session.running_order import running_order
from core.session.segment_playing import segment_schedule
from core.song.errors import DomainError
from core.song.note import Hand
from core.song.pattern_grid import Grid, OwnPattern
from tests.helpers.songs import DEMO_SONGS, lamplighters_waltz, night_ferry


def test_every_embellishment_has_a_name_of_its_own() -> None:
    names = [embellishment.name for embellishment in EMBELLISHMENTS]
    assert len(set(names)) == len(names)
    with pytest.raises(DomainError, match="to embellish with"):
        LessonSettings(embellishments=("tremolo",))


def test_harmony_under_the_melody_is_a_segment_of_the_plan() -> None:
    settings = LessonSettings(embellishments=("root_fifth_octave", "thirds"))
    left, right = (one for one in running_order(night_ferry(), settings) if one.kind == "embellishment")
    assert left.title == "Embellish: root, fifth, octave in the left hand"
    assert left.say[1] == "Left hand: root, fifth, octave, fifth, one to each half beat."
    assert left.play[0].pattern == "root_fifth_octave"
    assert right.title == "Embellish: thirds in the right hand"
    assert right.play[0].harmony == "thirds"
    assert right.play[0].pattern == ""


def test_words_follow_the_metre() -> None:
    settings = LessonSettings(embellishments=("bass_chords",))
    (segment,) = (one for one in running_order(lamplighters_waltz(), settings) if one.kind == "embellishment")
    assert segment.say[1] == "Left hand: root, chord, chord, one to each beat."


@pytest.mark.parametrize("name", DEMO_SONGS)
@pytest.mark.parametrize("embellishment", [one.name for one in EMBELLISHMENTS])
def test_every_embellishment_is_heard_with_every_key_let_go_and_the_length_unchanged(
    name: str, embellishment: str
) -> None:
    song = DEMO_SONGS[name]()
    hand = embellishment_named(embellishment).hand
    pattern, harmony = (embellishment, None) if hand is Hand.LEFT else (None, embellishment)
    numbers = tuple(range(1, len(song.parts) + 1))
    plain = make_schedule(song, Selection(numbers))
    heard = make_schedule(song, Selection(numbers, pattern=pattern, harmony=harmony))
    assert heard.length == plain.length
    down: set[int] = set()
    for event in heard.events:
        if event.kind == "on":
            assert event.midi not in down
            down.add(event.midi)
        elif event.kind == "off":
            down.remove(event.midi)
    assert not down
    melody = {(e.seconds, e.midi) for e in plain.events if e.kind == "on" and e.hand is Hand.RIGHT}
    assert melody <= {(e.seconds, e.midi) for e in heard.events if e.kind == "on"}


def test_a_pattern_of_the_teachers_own_is_shown_where_the_song_has_it() -> None:
    settings = LessonSettings(embellishments=("own:rocking", "thirds"))
    song = keep_pattern(night_ferry(), OwnPattern("rocking", (Grid.parse("R 8"),)))
    own, thirds = (one for one in running_order(song, settings) if one.kind == "embellishment")
    assert own.title == "Embellish: rocking in the left hand"
    assert own.play[0].pattern == own.pattern == "rocking"
    assert "root, octave" in own.say[1]
    (alone,) = (one for one in running_order(night_ferry(), settings) if one.kind == "embellishment")
    assert (alone.title, alone.say[0]) == (thirds.title, own.say[0])


def test_a_part_is_taught_plain_and_shown_at_the_end_as_it_is_performed() -> None:
    plain = night_ferry()
    song = set_pedal(set_rhythm(set_harmony(plain, 2, "thirds"), 2, "late"), 2, True)
    order = running_order(song)
    (performed,) = (one for one in order if one.title == "Embellish: as it is performed")
    assert performed.parts == (2,)
    assert performed.say[1:] == chosen_words(song, 2)
    assert order.index(performed) == len(order) - 2
    heard = segment_schedule(song, performed).events
    assert {event.kind for event in heard} == {"on", "off", "pedal", "click"}
    taught = {one.title: one for one in order if one.kind in ("right_hand", "together", "run_through")}
    for one in running_order(plain):
        if one.title in taught:
            here, there = segment_schedule(plain, one), segment_schedule(song, taught[one.title])
            of_plain = [(event.kind, event.midi, event.part, event.tick) for event in here.events]
            assert [(event.kind, event.midi, event.part, event.tick) for event in there.events] == of_plain
    assert len(taught) == 3 + 3 + 2


def test_nothing_more_is_shown_where_nothing_more_was_chosen() -> None:
    assert all(one.title != "Embellish: as it is performed" for one in running_order(night_ferry()))
