from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits.transpose import transpose
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.resemblance import resemblance
from tests.helpers.songs import build

Described = tuple[float | Fraction, str, list[tuple[float, float, str]]]


def two(first: str, second: str, chords: tuple[str, str] = ("C", "C")) -> Song:
    parts = [(8.0, line, [(0.0, 8.0, chord)]) for line, chord in zip((first, second), chords, strict=True)]
    return build("Two", "C major", "4/4", 90, parts)  # type: ignore[arg-type]  # parts of several lengths in one table


@pytest.mark.parametrize(
    ("second", "chord", "how", "sentence"),
    [
        ("C D E F | G A G -", "C", "same", "Part 2 is part 1 again."),
        ("C D E F | G A G -", "G", "same notes", "Part 2 is part 1 again over other chords."),
        ("E F G A | B c B -", "C", "same, a third higher", "Part 2 is part 1, a third higher."),
        ("C D E F | G B G -", "C", "same but for one note", "Part 2 is part 1, but the sixth note is B instead of A."),
        ("C D E F | G A G C", "C", "same beginning", "Part 2 is part 1 with a new ending from bar 4."),
        ("C D E F | G A G .", "C", "same notes, held differently", "Part 2 is part 1, but its last note is shorter."),
        ("C D E F | G", "C", "beginning of it", "Part 2 is the beginning of part 1: its first five notes."),
        ("C D E F | D - C -", "C", "same beginning", "Part 2 is part 1 with a new ending from bar 4."),
        ("D E F A | c d A -", "G", "same rhythm and shape", "Part 2 has the same rhythm and shape as part 1."),
        ("G F E D | C D C -", "G", "same rhythm", "Part 2 has the same rhythm as part 1."),
        ("G - F - | E - - -", "C", "same chords", "Part 2 has the same chords as part 1."),
    ],
)
def test_a_part_is_told_by_what_it_shares(second: str, chord: str, how: str, sentence: str) -> None:
    found = resemblance(two("C D E F | G A G -", second, ("C", chord)), 2)
    assert found is not None
    assert found.how == how
    assert found.sentence == sentence


def test_parts_that_share_nothing_resemble_nothing() -> None:
    assert resemblance(two("C D E F | G A G -", "G - F - | E - - -", ("C", "G")), 2) is None
    assert resemblance(two("C D E F | G A G -", "C D E F"), 1) is None


def test_a_shared_ending_is_said() -> None:
    found = resemblance(two("C D E F | G A G -", "G E E F | G A G -", ("C", "F")), 2)
    assert found is not None
    assert found.sentence == "Part 2 ends as part 1 does: the last five notes are the same."


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from("CDEFGABcde"), st.sampled_from([1, 2, 3])), min_size=3, max_size=12),
    st.integers(1, 3),
)
def test_an_exact_repeat_is_always_found(notes: list[tuple[str, int]], between: int) -> None:
    line = " ".join(f"{letter}:{length}" for letter, length in notes)
    other = "B, C G, - | E, - - -"
    parts = [(40.0, line, [(0.0, 8.0, "C")]), *[(40.0, other, [])] * between, (40.0, line, [(0.0, 8.0, "C")])]
    song = build("Again", "C major", "4/4", 90, parts)  # type: ignore[arg-type]  # parts of several lengths in one table
    found = resemblance(song, len(parts))
    assert found is not None
    assert (found.part, found.how, found.strength) == (1, "same", 1.0)


def test_a_repeat_without_its_pick_up_and_one_with_a_pick_up_are_repeats() -> None:
    parts: list[Described] = [
        (9.0, "G | C D E F | G A G -", []),
        (8.0, "C D E F | G A G -", []),
        (8.0, "G A B c | A G F", []),
    ]
    song = build("Pick-up", "C major", "4/4", 90, parts, pickup=1)
    found = resemblance(song, 2)
    assert found is not None
    assert (found.sentence, found.changed) == ("Part 2 is part 1 without its first note.", ())
    back = resemblance(song, 1, [2])
    assert back is not None
    assert (back.sentence, back.changed) == ("Part 1 is part 2 with one note leading in.", (0,))


def test_the_first_note_that_differs_is_known() -> None:
    found = resemblance(two("C D E F | G A G -", "C D E F | G B G -"), 2)
    assert found is not None
    assert (found.changed, found.differs_at) == ((5,), 5 * TICKS_PER_QUARTER)
    assert found.lead == "Part 2 is part 1 but for one note, the sixth."
    ending = resemblance(two("C D E F | G A G -", "C D E F | D - C -"), 2)
    assert ending is not None
    assert (ending.changed, ending.differs_at) == ((4, 5), 4 * TICKS_PER_QUARTER)


def test_parts_without_chords_are_not_said_to_share_them() -> None:
    parts: list[Described] = [(8.0, "C D E F | G A G -", []), (8.0, "G - F - | E - - -", [])]
    assert resemblance(build("Bare", "C major", "4/4", 90, parts), 2) is None


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from("CDEFGABcde"), min_size=8, max_size=12), st.integers(0, 7), st.sampled_from("CDEFGABcde")
)
def test_one_changed_note_is_found_and_named(letters: list[str], place: int, letter: str) -> None:
    changed = [*letters[:place], letter, *letters[place + 1 :]]
    length = float(len(letters))
    parts: list[Described] = [(length, " ".join(letters), []), (length, " ".join(changed), [])]
    found = resemblance(build("Changed", "C major", "4/4", 90, parts), 2)
    assert found is not None
    assert found.changed == (() if letters == changed else (place,))
    assert found.is_exact is (letters == changed)


def test_resemblance_does_not_depend_on_the_key() -> None:
    song = two("C D E F | G A G -", "E F G A | B c B -")
    moved = transpose(song, 3)
    assert resemblance(moved, 2) == resemblance(song, 2)
