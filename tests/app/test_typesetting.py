"""Session plans on paper, set by the real typesetter."""

import warnings

import pytest
from msgspec.structs import replace

from app.plan_materials import plan_assets
from app.typesetting import typeset
from core.handover.plan_pdf import plan_document, write_plan_pdf
from core.handover.registry import Paper
from core.handover.session_plan import SessionPlan, session_plan
from core.handover.typesetting import TypesetDocument
from core.session.timing import LessonSettings
from core.song.errors import PlanError
from tests.helpers.drawn_songs import drawn_song, ferry, hard_songs, part
from tests.helpers.fixed_plan import fixed_plan

SETTINGS = LessonSettings()


def pages(plan: SessionPlan) -> int:
    """How many pages a plan has: the last value of the page counter."""
    import typst

    from app.typesetting import fonts

    document = plan_document(plan, plan_assets())
    images = typst.compile(
        document.source.encode(), font_paths=fonts(), sys_inputs=dict(document.inputs), format="png", ppi=10.0
    )
    return len(images) if isinstance(images, list) else 1


def test_a_plan_becomes_a_pdf_without_a_warning() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        pdf = write_plan_pdf(session_plan(ferry(), SETTINGS), plan_assets())
    assert pdf.startswith(b"%PDF-")
    assert pdf.rstrip().endswith(b"%%EOF")


def test_every_letter_and_sign_comes_from_the_projects_own_fonts() -> None:
    import typst

    from app.typesetting import fonts

    document = plan_document(session_plan(ferry(), SETTINGS), plan_assets())
    _, found = typst.compile_with_warnings(
        document.source.encode(), font_paths=fonts(), sys_inputs=dict(document.inputs), format="pdf"
    )
    assert [warning.message for warning in found] == []
    assert sorted(fonts().families()) == ["Atkinson Hyperlegible Next", "Phrasebench Signs"]


def test_the_same_plan_gives_the_same_bytes_and_carries_no_date() -> None:
    plan = session_plan(ferry(), SETTINGS)
    first = write_plan_pdf(plan, plan_assets())
    assert first == write_plan_pdf(plan, plan_assets())
    assert b"CreationDate" not in first
    assert b"CreateDate" not in first


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("song", hard_songs()[:-1], ids=lambda song: song.title)
def test_songs_that_are_hard_to_draw_can_be_set(song: object, paper: Paper) -> None:
    pdf = write_plan_pdf(session_plan(song, SETTINGS, paper), plan_assets())  # type: ignore[arg-type]  # paper of several types in one table
    assert pdf.startswith(b"%PDF-")


def test_many_segments_make_many_pages_and_no_page_of_the_table_is_empty() -> None:
    plan = fixed_plan()
    few, many = replace(plan, rows=plan.rows[:5]), replace(plan, rows=plan.rows * 12)
    assert pages(few) == 1
    assert 4 <= pages(many) <= 6


def test_words_longer_than_a_page_are_divided_rather_than_cut_off() -> None:
    plan = fixed_plan()
    long = replace(plan.rows[1], say=("one two three four five six seven eight nine ten " * 120,))
    assert pages(replace(plan, rows=(plan.rows[0], long, plan.rows[2]))) >= 2


def test_a_part_longer_than_a_page_is_set_in_pieces() -> None:
    song = drawn_song("Tall", "G major", "4/4", part("G4:4 " * 30, "G:4 " * 30))
    plan = replace(fixed_plan(), song=song)
    assert sum(name.startswith("sheet-") for name in plan_document(plan, plan_assets()).inputs) >= 2
    assert pages(plan) >= 3


def test_letters_that_the_projects_fonts_lack_are_taken_from_elsewhere() -> None:
    plan = fixed_plan()
    foreign = replace(plan, song=replace(plan.song, title="Вечер на реке"))
    assert not plan_document(plan, plan_assets()).other_letters
    assert plan_document(foreign, plan_assets()).other_letters
    assert b"Libertinus" in write_plan_pdf(foreign, plan_assets())
    assert b"Libertinus" not in write_plan_pdf(plan, plan_assets())


def test_a_title_with_markup_in_it_is_set_as_it_is() -> None:
    song = replace(ferry(), title='#panic[] *bold* $x$ \\ // <label> @ref "quoted" ' * 3)
    assert write_plan_pdf(session_plan(song, SETTINGS), plan_assets()).startswith(b"%PDF-")


def test_a_document_that_cannot_be_set_is_refused_in_one_sentence() -> None:
    with pytest.raises(PlanError, match=r"^The plan could not be set for printing .*\.$") as refused:
        typeset(TypesetDocument('#panic("no\nway")', {}))
    assert "\n" not in str(refused.value)
