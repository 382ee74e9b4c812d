"""What a plan's files say beside the lesson's own words can be said in another language."""

import json
import re
from html import unescape

import pytest
from msgspec.structs import replace

from core.handover.plan_csv import COLUMNS, write_plan_csv
from core.handover.plan_html import write_plan_html
from core.handover.plan_json import write_plan_json
from core.handover.plan_pdf import plan_document
from core.handover.plan_words import review_of, span, what_to_play
from core.handover.session_plan import PlanRow, SessionPlan, session_plan
from core.session.timing import LessonSettings
from core.song.part import Aside, OwnWords
from core.song.song import Song
from core.song.wording import speak
from tests.helpers.drawn_songs import drawn_song, ferry, part
from tests.helpers.marked_language import MarkedLanguage
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.plan_materials import plan_assets
from tests.helpers.songs import lamplighters_waltz, night_ferry

NAMES_OF_NOTES = {"sharp", "flat"}
ROW = PlanRow(1, "0:00", "1", "together", ("1.",), "", "56", "0:25", ("2.",))
SETTINGS = LessonSettings()


def songs() -> tuple[Song, ...]:
    """Songs in 4/4 and 6/8, with and without chords, own words, asides and rights."""
    ferry = night_ferry()
    first = ferry.parts[0]
    own = replace(first.teaching, words=(OwnWords("right_hand", "1.", review=True),))
    told = ferry.with_part(1, replace(first, teaching=own, asides=(Aside(0, "2.", "right_hand"),)))
    low = drawn_song("Low", "C major", "6/8", part("A3:3"))
    return (told, replace(ferry, rights="1999", composer="J. B."), lamplighters_waltz(), low)


def plain(plan: SessionPlan) -> SessionPlan:
    """The plan with the lesson's own words left out of its table."""
    return replace(plan, rows=(ROW,))


def of_the_plan(song: Song, text: str) -> list[str]:
    own = {*NAMES_OF_NOTES, *words_unsaid(f"{song.title} {song.section}")}
    return [word for word in words_unsaid(text) if word not in own]


@pytest.mark.parametrize("song", songs(), ids=lambda song: f"{song.title} in {song.metre}")
def test_facts_rights_hands_and_what_to_play_are_said(song: Song) -> None:
    with open_places():
        plan = session_plan(song, SETTINGS)
        for text in (plan.facts, plan.credit, plan.hands):
            assert of_the_plan(song, text) == []
        for segment in plan.segments:
            assert of_the_plan(song, what_to_play(song, segment)) == []
            assert of_the_plan(song, review_of(song, segment)) == []
        assert of_the_plan(song, f"{span((1,))} {span((1, 2))} {span((1, 3))}") == []


@pytest.mark.parametrize("song", songs(), ids=lambda song: f"{song.title} in {song.metre}")
def test_the_page_is_said_from_its_head_to_the_names_of_its_boxes(song: Song) -> None:
    with open_places():
        page = write_plan_html(plain(session_plan(song, SETTINGS)), plan_assets()).decode()
    page = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    names = [unescape(name) for name in re.findall(r'aria-label="([^"]*)"', page)]
    texts = [unescape(text) for text in re.split(r"<[^>]*>", page) if text.strip()]
    assert len(names) > 3
    assert [word for text in (*names, *texts) for word in of_the_plan(song, text)] == []


def test_the_paper_is_said_but_for_what_the_song_says() -> None:
    song = night_ferry()
    with open_places():
        document = plan_document(plain(session_plan(song, SETTINGS)), plan_assets())
    data = json.loads(document.inputs["plan"])
    assert [word for head in data["heads"] for word in words_unsaid(head)] == []
    for field in ("facts", "credit", "hands", "care", "sheets-heading"):
        assert of_the_plan(song, data[field]) == []
    assert [word for text in data["descriptions"] for word in of_the_plan(song, text)] == []
    assert (data["page"].count("{page}"), data["page"].count("{pages}")) == (1, 1)
    assert re.findall(r"\[[a-z]", document.source) == []


class Deutsch(MarkedLanguage):
    """A language that gives its code."""

    def pgettext(self, context: str, message: str, /) -> str:
        return "de-AT" if "language" in context else message


def test_a_plan_names_the_language_it_is_written_in() -> None:
    for catalogue, code, language in ((None, "en", "en"), (MarkedLanguage(), "en", "en"), (Deutsch(), "de-AT", "de")):
        speak(catalogue)
        try:
            plan = session_plan(night_ferry(), SETTINGS)
            page, document = write_plan_html(plan, plan_assets()).decode(), plan_document(plan, plan_assets())
        finally:
            speak(None)
        assert f'<html lang="{code}">' in page
        assert json.loads(document.inputs["plan"])["language"] == language


def test_names_that_programs_read_are_the_same_in_every_language() -> None:
    english = json.loads(write_plan_json(session_plan(ferry(), SETTINGS)))
    with open_places():
        plan = session_plan(replace(ferry(), title="1"), SETTINGS)
        said = json.loads(write_plan_json(plan))
        table = write_plan_csv(plan).decode()
    assert table.splitlines()[0] == ",".join(COLUMNS)
    assert list(said) == list(english)
    assert said["key"] == english["key"]
    for field in ("kind", "parts"):
        assert [one[field] for one in said["segments"]] == [one[field] for one in english["segments"]]
    hands = {play["hands"] for one in said["segments"] for play in one["play"]}
    assert hands == {"right", "left", "both"}
