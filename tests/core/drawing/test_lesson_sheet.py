"""The lesson sheet: what a row shows, and that nothing in it collides or is cut off."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.drawing.colours import LIGHT
from core.drawing.hit_testing import box_of, place_of, subject_at
from core.drawing.lesson_sheet import DASHED, RowFacts, RowLayout, lay_out_row
from core.drawing.row_chords import BAR_HEIGHT, SILENT_DASH, SUGGESTED_DASH
from core.drawing.shapes import Circle, Line, Polygon, Rectangle, Role, Subject, Text
from core.drawing.sheet_style import PADDING, sheet_style
from core.drawing.svg import write_svg
from core.session.analysis import analyse_part
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER as QUARTER
from core.teaching.landings import landings
from core.teaching.naming import Naming
from tests.helpers.drawn_songs import any_song, drawn_song, ferry, hard_songs, part
from tests.helpers.font_metrics import font_metrics

METRICS = font_metrics()
WRAPS = (None, 1000.0, 620.0, 360.0)


def row(song: Song, number: int = 1, wrap: float | None = 1000.0, **choices: object) -> RowLayout:
    style = sheet_style(song, METRICS, wrap, naming=choices.pop("naming", Naming.LETTERS))  # type: ignore[arg-type]  # choices of several types are handed on
    return lay_out_row(song, number, style, METRICS, **choices)  # type: ignore[arg-type]  # choices of several types are handed on


def texts(layout: RowLayout, kind: str | None = None) -> list[Text]:
    return [
        shape
        for shape in layout.picture.shapes
        if isinstance(shape, Text) and (kind is None or (shape.subject is not None and shape.subject.kind == kind))
    ]


def beads(layout: RowLayout) -> list[Circle | Rectangle]:
    return [
        shape
        for shape in layout.picture.shapes
        if isinstance(shape, Circle | Rectangle) and shape.fill is Role.RIGHT_FILL
    ]


def test_a_row_shows_its_number_bars_time_and_buttons() -> None:
    layout = row(ferry(), 2, analysis=RowFacts(teach_seconds=96.0))
    said = [text.text for text in texts(layout)]
    assert {"2", "bars", "3–5", "1:36 to teach", "part", "1–2"} <= set(said)


def test_the_first_part_has_no_button_for_a_run_through() -> None:
    subjects = {shape.subject for shape in row(ferry(), 1).picture.shapes}
    assert Subject("play-part", 1) in subjects
    assert Subject("play-through", 1) not in subjects


def test_on_paper_a_row_has_no_buttons_and_on_a_prompter_no_label() -> None:
    song = ferry()
    paper = lay_out_row(song, 2, sheet_style(song, METRICS, 800, buttons=False), METRICS)
    assert not [text for text in texts(paper) if text.text in ("part", "1–2")]
    prompter = lay_out_row(song, 2, sheet_style(song, METRICS, 800, labels=False), METRICS)
    assert not texts(prompter, "part")
    assert prompter.x_of(0) < paper.x_of(0)


def test_the_button_whose_music_sounds_shows_a_square_to_stop_it() -> None:
    playing = Subject("play-part", 2)
    signs = [
        shape
        for shape in row(ferry(), 2, playing=playing).picture.shapes
        if isinstance(shape, Polygon) and shape.subject
    ]
    corners = {shape.subject.kind: len(shape.points) for shape in signs if shape.subject}
    assert corners == {"play-part": 4, "play-through": 3}


def test_the_right_hands_beads_carry_their_names_in_order() -> None:
    layout = row(ferry(), 2)
    named = [text.text for text in texts(layout, "note") if text.bold and text.role is Role.INK and text.size > 12]
    assert named == ["C♯", "B", "A", "A", "B", "B", "A", "G"]


def test_notes_are_called_as_the_teacher_calls_them() -> None:
    layout = row(ferry(), 2, naming=Naming.GERMAN)
    assert [text.text for text in texts(layout, "note") if text.text.isalpha()][:2] == ["Cis", "H"]
    assert "A Cis E" in [text.text for text in texts(layout, "chord")]


def test_chords_are_called_as_the_teacher_calls_them() -> None:
    layout = row(ferry(), 1, naming=Naming.SYLLABLES)
    assert "Mim" in [text.text for text in texts(layout, "chord")]


def test_higher_notes_lie_higher_by_the_same_height_each_step() -> None:
    layout = row(ferry(), 1)
    ys = [bead.y for bead in beads(layout) if isinstance(bead, Circle)]
    e, g, a, b, *_ = ys
    assert e > g > a > b
    assert g - a == pytest.approx(a - b)
    assert e - g == pytest.approx(2 * (a - b))


def test_a_wire_is_as_long_as_its_note() -> None:
    layout = row(ferry(), 1)
    wires = [s for s in layout.picture.shapes if isinstance(s, Line) and s.role is Role.RIGHT and s.width > 2]
    ends = [wire.x2 for wire in wires]
    notes = ferry().parts[0].notes
    assert ends == [pytest.approx(layout.x_of(note.end) - 4.0, abs=0.1) for note in notes[:-1]] + [ends[-1]]


def test_a_wire_goes_on_in_the_next_line() -> None:
    song = drawn_song("Held", "C major", "4/4", part("C5:8", "C:8"))
    layout = row(song, 1, wrap=400.0)
    wires = [s for s in layout.picture.shapes if isinstance(s, Line) and s.role is Role.RIGHT and s.width > 2]
    assert len(layout.lines) == 2
    assert len(wires) == 2
    assert wires[1].x1 == layout.lines[1].left
    assert wires[1].y1 - layout.lines[1].top == pytest.approx(wires[0].y1 - layout.lines[0].top)


def test_chords_stand_in_square_bars_with_their_tones() -> None:
    layout = row(ferry(), 2)
    assert [text.text for text in texts(layout, "chord")] == ["A", "A C♯ E", "G", "G B D"]
    frames = [s for s in layout.picture.shapes if isinstance(s, Rectangle) and s.fill is Role.LEFT_FILL]
    assert all(frame.corner == 0 for frame in frames)


def test_a_chord_that_sounds_on_is_quiet_open_at_its_left_and_has_no_pin() -> None:
    song = drawn_song("On", "C major", "4/4", part("C4:4", "C:4"), part("E4:4", "~C:2 F:2"))
    layout = row(song, 2)
    names = {text.text: text for text in texts(layout, "chord")}
    assert not names["C"].bold
    assert names["C"].role is Role.QUIET
    assert names["F"].bold
    assert {s.subject.index for s in layout.picture.shapes if s.subject and s.subject.kind == "landing"} == {1}
    sides = [s for s in layout.picture.shapes if isinstance(s, Line) and s.role is Role.LEFT and s.x1 == s.x2]
    assert min(side.x1 for side in sides) > layout.x_of(0) + 10


def chord_edges(layout: RowLayout, index: int) -> list[Line]:
    edges = [s for s in layout.picture.shapes if isinstance(s, Line) and s.role in (Role.LEFT, Role.SELECTED)]
    return [edge for edge in edges if edge.subject == Subject("chord", layout.number, index)]


def test_a_suggested_chord_has_a_dashed_frame_and_a_ground_and_is_said_to_be_suggested() -> None:
    song = ferry()
    first, second = song.part(2).chords
    guessed = replace(song.part(2), chords=(first, replace(second, given=False)))
    layout = row(replace(song, parts=(song.parts[0], guessed, *song.parts[2:])), 2)
    assert {edge.dash for edge in chord_edges(layout, 0)} == {0.0}
    assert {edge.dash for edge in chord_edges(layout, 1)} == {SUGGESTED_DASH}
    grounds = [s for s in layout.picture.shapes if isinstance(s, Rectangle) and s.fill is Role.LEFT_FILL]
    assert len(grounds) == 2
    assert "G major (suggested) alone" in layout.picture.description
    written = write_svg(layout.picture, LIGHT)
    assert f'stroke-dasharray="{SUGGESTED_DASH}"' in written
    assert written.count("<title>Suggested: of the melody B and G belong to it, A does not</title>") == 1


def test_paper_says_what_a_dashed_frame_means_where_there_is_one() -> None:
    song = ferry()
    guessed = replace(song.part(1), chords=tuple(replace(chord, given=False) for chord in song.part(1).chords))
    song = replace(song, parts=(guessed, *song.parts[1:]))
    paper = replace(sheet_style(song, METRICS, 1000.0), buttons=False)
    said = [[text.text for text in texts(lay_out_row(song, number, paper, METRICS))] for number in (1, 2)]
    assert [DASHED in one for one in said] == [True, False]
    assert DASHED not in [text.text for text in texts(row(song, 1))]
    check_nothing_collides(lay_out_row(song, 1, paper, METRICS), song)


def test_a_suggested_chord_is_told_from_silence_also_while_it_is_selected() -> None:
    song = drawn_song("Rest", "C major", "4/4", part("C4:8", "N.C.:4 C:4"))
    silence, chord = song.part(1).chords
    song = replace(song, parts=(replace(song.part(1), chords=(silence, replace(chord, given=False))),))
    layout = row(song, 1, selected_chord=1)
    dashes = [{edge.dash for edge in chord_edges(layout, index)} for index in (0, 1)]
    assert dashes == [{SILENT_DASH}, {SUGGESTED_DASH}]


def test_a_pin_is_filled_where_a_chord_lands_with_a_note_and_open_where_it_lands_alone() -> None:
    layout = row(ferry(), 2)
    heads = {
        shape.subject.index: shape
        for shape in layout.picture.shapes
        if isinstance(shape, Circle) and shape.subject and shape.subject.kind == "landing"
    }
    assert heads[0].fill is Role.INK
    assert heads[1].fill is Role.CARD


def test_a_pin_stands_under_the_bead_it_lands_with() -> None:
    song = ferry()
    layout = row(song, 3)
    for landing in landings(song.parts[2]):
        pin = place_of(layout.picture, Subject("landing", 3, landing.chord), METRICS)
        assert landing.note is not None
        bead = next(
            s for s in layout.picture.shapes if isinstance(s, Circle) and s.subject == Subject("note", 3, landing.note)
        )
        assert pin is not None
        assert (pin.left + pin.right) / 2 == pytest.approx(bead.x)


def test_the_teachers_own_finger_is_heavier_and_underlined() -> None:
    song = ferry()
    layout = row(song, 2, analysis=RowFacts.of(analyse_part(song, 2)))
    figures = {t.subject.index: t for t in texts(layout, "note") if t.subject and t.text.isdigit()}
    assert len(figures) == len(song.parts[1].notes)
    own, computed = figures[1], figures[2]
    assert own.text == "3"
    assert own.bold
    assert not computed.bold
    underlines = [s for s in layout.picture.shapes if isinstance(s, Line) and s.width == 1.3 and s.y1 == s.y2]
    assert [line.subject for line in underlines] == [Subject("note", 2, 1)]


def test_the_selected_part_note_and_chord_are_framed() -> None:
    song = ferry()
    plain = row(song, 2).picture
    chosen = row(song, 2, selected_note=3, selected=True, selected_chord=1).picture
    assert not [s for s in plain.shapes if getattr(s, "edge", None) is Role.SELECTED]
    framed = [s.subject for s in chosen.shapes if getattr(s, "edge", None) is Role.SELECTED]
    assert framed == [Subject("part", 2), Subject("note", 2, 3)]
    strong = {s.subject for s in chosen.shapes if isinstance(s, Line) and s.role is Role.SELECTED}
    assert strong == {Subject("chord", 2, 1)}


def test_the_ruler_numbers_every_bar_and_dots_every_beat() -> None:
    layout = row(ferry(), 2)
    assert [text.text for text in texts(layout, "ruler")] == ["3", "4", "5"]
    dots = [s for s in layout.picture.shapes if isinstance(s, Circle) and s.subject == Subject("ruler", 2)]
    assert len(dots) == 3 * 3


def test_a_pickup_is_called_one_and_its_bar_has_no_number() -> None:
    song = drawn_song("Up", "C major", "3/4", part("G4 C5:3 E5:3", ""), pickup=1)
    layout = row(song)
    assert "pick-up," in [text.text for text in texts(layout, "part")]
    assert [text.text for text in texts(layout, "ruler")] == ["1", "2"]


def test_a_part_without_left_hand_has_no_room_for_it() -> None:
    with_chords = drawn_song("A", "C major", "4/4", part("C4:4 D4:4 E4:4", "C:12"))
    without = drawn_song("A", "C major", "4/4", part("C4:4 D4:4 E4:4"))
    assert row(without).picture.height < row(with_chords).picture.height


def test_a_written_left_hand_without_chords_is_shown_by_its_notes() -> None:
    song = next(song for song in hard_songs() if song.title == "Written out")
    tones = [t.text for t in texts(row(song)) if t.text in ("A", "E") and not t.bold]
    assert tones == ["A", "E"] * 4


def test_rows_of_a_song_share_their_beat_width_and_heights() -> None:
    song = ferry()
    layouts = [row(song, number) for number in (1, 2, 3)]
    assert len({layout.pixels_per_tick for layout in layouts}) == 1
    assert len({layout.y_of_step(30) for layout in layouts}) == 1


def test_the_longest_part_is_not_wrapped_where_a_little_less_width_saves_it() -> None:
    assert [len(row(ferry(), number, wrap=1000.0).lines) for number in (1, 2, 3)] == [1, 1, 1]
    assert len(row(ferry(), 2, wrap=640.0).lines) == 2


def test_the_description_names_the_notes_and_where_chords_land() -> None:
    assert row(ferry(), 2).picture.description == (
        "Part 2, bars 3–5. Right hand: C sharp, B, A, A, B, B, A, G. Left hand: A major with C sharp, G major alone."
    )


def test_every_part_of_a_note_can_be_pointed_at() -> None:
    layout = row(ferry(), 2)
    bead = next(s for s in beads(layout) if s.subject == Subject("note", 2, 4))
    assert isinstance(bead, Circle)
    assert subject_at(layout.picture, bead.x + 3, bead.y - 3, METRICS) == Subject("note", 2, 4)
    end = layout.x_of(ferry().parts[1].notes[4].end) - 4.0
    assert subject_at(layout.picture, end, bead.y, METRICS) == Subject("wire-end", 2, 4)
    assert subject_at(layout.picture, bead.x + 60, bead.y, METRICS) == Subject("note", 2, 4)
    assert subject_at(layout.picture, bead.x, layout.lines[0].chords_top + 8, METRICS) == Subject("chord", 2, 0)
    assert subject_at(layout.picture, 40, layout.picture.height - 4, METRICS) == Subject("part", 2)
    assert subject_at(layout.picture, layout.picture.width + 50, 10, METRICS) is None


def test_the_end_of_a_part_can_be_taken_hold_of() -> None:
    layout = row(ferry(), 1)
    assert subject_at(layout.picture, layout.x_of(8 * QUARTER) + 6, layout.lines[0].top + 40, METRICS) == Subject(
        "cut", 1
    )


def test_a_drag_across_wrapped_lines_means_moments_of_the_line_it_is_in() -> None:
    song = drawn_song("Long", "C major", "4/4", part("C5:4 " * 9, "C:36"))
    layout = row(song, wrap=620.0)
    assert len(layout.lines) > 2
    second = layout.lines[1]
    x = second.left + 2 * QUARTER * layout.pixels_per_tick
    assert layout.tick_at(x, second.notes_top) == second.start + 2 * QUARTER
    assert layout.nearest(x + 5, second.notes_top, QUARTER) == second.start + 2 * QUARTER
    assert layout.tick_at(-500, second.notes_top) == second.start
    assert layout.tick_at(5000, second.notes_top) == second.end
    assert layout.tick_at(x, 10_000) >= layout.lines[-1].start


def test_the_playing_position_runs_through_the_bead_that_sounds() -> None:
    song = ferry()
    layout = row(song, 2)
    line = layout.position_line(song.parts[1].notes[2].onset)
    bead = next(s for s in beads(layout) if s.subject == Subject("note", 2, 2))
    assert line.x1 == line.x2 == bead.x
    assert line.y1 < bead.y < line.y2
    assert line.dash > 0


def test_the_playing_position_strikes_no_letter_out() -> None:
    song = ferry()
    layout = row(song, 2)
    moments = [note.onset for note in song.parts[1].notes]
    for tick in (*moments, *(tick + QUARTER // 3 for tick in moments)):
        whole, pieces = layout.position_line(tick), layout.position_lines(tick)
        assert (pieces[0].y1, pieces[-1].y2) == (whole.y1, whole.y2)
        for text in (*texts(layout, "note"), *texts(layout, "chord")):
            box = box_of(text, METRICS)
            if box.left < whole.x1 < box.right and not text.text.isdigit():
                assert not any(piece.y1 < box.bottom and box.top < piece.y2 for piece in pieces), text


@settings(max_examples=60, deadline=None)
@given(song=any_song(), wrap=st.sampled_from(WRAPS), where=st.floats(0, 1))
def test_every_moment_is_found_again_where_it_is_drawn(song: Song, wrap: float | None, where: float) -> None:
    layout = row(song, wrap=wrap)
    tick = round(where * (layout.duration - 1))
    number, x = layout.point_of(tick)
    middle = (layout.lines[number].notes_top + layout.lines[number].notes_bottom) / 2
    assert layout.tick_at(x, middle) == tick
    for step in range(layout.style.lowest, layout.style.highest + 1):
        assert layout.staff_step_at(layout.y_of_step(step, number)) == step


def check_nothing_collides(layout: RowLayout, song: Song) -> None:
    picture = layout.picture
    for shape in picture.shapes:
        box = box_of(shape, METRICS)
        assert box.left >= -0.01, shape
        assert box.top >= -0.01, shape
        assert box.right <= picture.width + 4, shape
        assert box.bottom <= picture.height + 0.01, shape
    check_beads_stand_apart(layout, song)
    check_chord_texts_stand_apart(layout)
    for bead in beads(layout):
        letters = [text for text in texts(layout, "note") if text.subject == bead.subject and not text.text.isdigit()]
        inside = box_of(bead, METRICS)
        assert all(box_of(text, METRICS).left >= inside.left - 0.5 for text in letters), letters
        assert all(box_of(text, METRICS).right <= inside.right + 0.5 for text in letters), letters


def check_beads_stand_apart(layout: RowLayout, song: Song) -> None:
    notes = song.parts[layout.number - 1].notes
    full = [bead for bead in beads(layout) if bead.subject and not notes[bead.subject.index].is_grace]
    for first, second in combinations(full, 2):
        one, other = box_of(first, METRICS), box_of(second, METRICS)
        if one.left <= other.right and other.left <= one.right:
            overlap = min(one.right, other.right) - max(one.left, other.left)
            apart_in_height = one.bottom <= other.top or other.bottom <= one.top
            assert overlap <= 0.01 or apart_in_height, (first, second)


def check_chord_texts_stand_apart(layout: RowLayout) -> None:
    placed = [(text, box_of(text, METRICS)) for text in texts(layout, "chord")]
    for (first, one), (second, other) in combinations(placed, 2):
        side_by_side = one.right <= other.left + 0.01 or other.right <= one.left + 0.01
        assert side_by_side or abs(first.baseline - second.baseline) > 9, (first, second)
    frames = [s for s in layout.picture.shapes if isinstance(s, Rectangle) and s.height == BAR_HEIGHT and s.subject]
    for text, box in placed:
        inside = [f for f in frames if f.subject == text.subject and f.y < text.baseline < f.y + BAR_HEIGHT]
        for frame in inside:
            if frame.x <= text.x <= frame.x + frame.width:
                assert box.right <= frame.x + frame.width, text


@pytest.mark.parametrize("wrap", WRAPS)
@pytest.mark.parametrize("song", hard_songs(), ids=lambda song: song.title)
def test_nothing_collides_in_songs_that_are_hard_to_draw(song: Song, wrap: float | None) -> None:
    for number in range(1, len(song.parts) + 1):
        facts = RowFacts.of(analyse_part(song, number), 67.0)
        check_nothing_collides(row(song, number, wrap, analysis=facts), song)


@settings(max_examples=80, deadline=None)
@given(song=any_song(), wrap=st.sampled_from(WRAPS), naming=st.sampled_from(Naming))
def test_nothing_collides_in_any_song(song: Song, wrap: float | None, naming: Naming) -> None:
    for number in range(1, len(song.parts) + 1):
        check_nothing_collides(row(song, number, wrap, naming=naming, analysis=RowFacts(teach_seconds=67.0)), song)


@settings(max_examples=40, deadline=None)
@given(song=any_song())
def test_a_wrapped_row_stays_within_its_width_unless_a_single_text_is_wider(song: Song) -> None:
    layout = row(song, wrap=620.0)
    for line in layout.lines:
        assert line.left + (line.end - line.start) * layout.pixels_per_tick <= 620.0 - PADDING + 0.01
