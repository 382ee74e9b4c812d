"""The four files of a session plan."""

import csv
import io
import json
from html.parser import HTMLParser

import pytest

from core.drawing.colours import DARK, LIGHT
from core.drawing.shapes import Role
from core.handover.plan_csv import write_plan_csv
from core.handover.plan_html import write_plan_html
from core.handover.plan_json import write_plan_json
from core.handover.plan_pdf import LAYOUT, plan_document
from core.handover.plan_words import CARE
from core.handover.registry import EXPORTERS, Paper, write_plan
from core.handover.session_plan import session_plan
from core.session.running_order import running_order
from core.session.timing import LessonSettings
from core.song.errors import PlanError
from tests.helpers.drawn_songs import drawn_song, ferry, hard_songs, part
from tests.helpers.fixed_plan import fixed_plan
from tests.helpers.golden import check_golden
from tests.helpers.plan_materials import RememberingTypesetter, plan_assets

SETTINGS = LessonSettings()


def test_a_plan_is_four_files() -> None:
    assert list(write_plan(ferry(), SETTINGS, plan_assets())) == ["plan.pdf", "plan.html", "plan.csv", "plan.json"]


@pytest.mark.parametrize("exporter", EXPORTERS, ids=lambda exporter: exporter.file_name)
def test_each_file_is_as_it_was_looked_at(exporter: object) -> None:
    typesetter = RememberingTypesetter()
    contents = exporter.write(fixed_plan(), plan_assets(typesetter))  # type: ignore[attr-defined]  # parametrized values come in as objects
    check_golden(f"handover/{exporter.file_name}.golden", contents)  # type: ignore[attr-defined]  # parametrized values come in as objects
    for document in typesetter.documents:
        inputs = json.dumps(dict(document.inputs), ensure_ascii=False, indent=1)
        check_golden("handover/plan.pdf.inputs.json", inputs + "\n")


@pytest.mark.parametrize("song", [ferry(), hard_songs()[4]], ids=lambda song: song.title)
def test_the_same_song_gives_the_same_bytes(song: object) -> None:
    first = write_plan(song, SETTINGS, plan_assets(fonts=True))  # type: ignore[arg-type]  # parametrized values come in as objects
    assert first == write_plan(song, SETTINGS, plan_assets(fonts=True))  # type: ignore[arg-type]  # parametrized values come in as objects


def test_a_song_without_notes_is_refused_in_a_sentence() -> None:
    with pytest.raises(PlanError, match=r"nothing to plan.*\.$"):
        write_plan(drawn_song("Empty", "C major", "4/4", part("-:4")), SETTINGS, plan_assets())


@pytest.mark.parametrize("song", hard_songs()[:-1], ids=lambda song: song.title)
def test_songs_that_are_hard_to_draw_can_be_planned(song: object) -> None:
    files = write_plan(song, SETTINGS, plan_assets())  # type: ignore[arg-type]  # parametrized values come in as objects
    assert all(files.values())


def test_the_data_have_the_fields_that_readers_rely_on() -> None:
    plan = session_plan(ferry(), SETTINGS)
    data = json.loads(write_plan_json(plan))
    assert list(data) == ["title", "key", "metre", "tempo", "seconds", "segments"]
    assert (data["title"], data["key"], data["metre"], data["tempo"]) == ("Ferry", "E dorian", "4/4", 84.0)
    fields = ["number", "kind", "parts", "title", "say", "on_screen", "play", "start", "seconds"]
    assert all(list(segment) == fields for segment in data["segments"])
    assert [segment["number"] for segment in data["segments"]] == list(range(1, len(data["segments"]) + 1))
    together = next(
        segment for segment in data["segments"] if segment["kind"] == "together" and segment["parts"] == [2]
    )
    play = together["play"][0]
    assert {"from": 8.0, "to": 20.0, "hands": "both", "times": 2, "count_in": 4}.items() <= play.items()
    assert data["seconds"] == pytest.approx(sum(segment["seconds"] for segment in data["segments"]), abs=0.05)


def test_every_play_has_the_same_fields() -> None:
    segments = json.loads(write_plan_json(session_plan(ferry(), SETTINGS)))["segments"]
    fields = ["from", "to", "hands", "tempo", "times", "count_in"]
    assert all(list(play) == fields for segment in segments for play in segment["play"])


def test_the_table_has_a_row_a_segment() -> None:
    song = ferry()
    rows = list(csv.DictReader(io.StringIO(write_plan_csv(session_plan(song, SETTINGS)).decode(), newline="")))
    segments = running_order(song, SETTINGS)
    assert list(rows[0]) == ["number", "start", "seconds", "kind", "parts", "title", "say", "play"]
    assert [row["kind"] for row in rows] == [segment.kind for segment in segments]
    assert [row["say"] for row in rows] == [" ".join(segment.say) for segment in segments]
    assert [float(row["start"]) for row in rows] == [round(segment.start, 3) for segment in segments]
    assert next(row for row in rows if row["title"] == "Run-through 1–2")["parts"] == "1 2"


class Page(HTMLParser):
    """What a page is made of."""

    VOID = frozenset({"meta", "input", "br", "link", "img"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: dict[str, list[str]] = {}
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.words.setdefault(self.open[-1], []).append(data)

    def of(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


def page(fonts: bool = False) -> tuple[str, Page]:
    text = write_plan_html(session_plan(ferry(), SETTINGS), plan_assets(fonts=fonts)).decode()
    return text, Page(text)


def test_the_page_is_well_formed_with_one_of_each_landmark() -> None:
    _, read = page()
    assert read.open == []
    for tag in ("html", "header", "main", "h1", "table", "caption", "thead", "tbody"):
        assert len(read.of(tag)) == 1, tag
    assert read.of("html")[0]["lang"] == "en"
    identifiers = [attributes["id"] for _, attributes in read.elements if "id" in attributes]
    assert len(identifiers) == len(set(identifiers))


def test_the_pages_table_has_headers_for_rows_and_columns_and_named_boxes() -> None:
    _, read = page()
    count = len(running_order(ferry(), SETTINGS))
    scopes = [attributes.get("scope") for attributes in read.of("th")]
    assert scopes == ["col"] * 7 + ["row"] * count
    labels = [attributes["aria-label"] for attributes in read.of("input")]
    assert len(labels) == 3 * count
    assert len(set(labels)) == len(labels)


def test_everything_is_inside_the_page() -> None:
    text, read = page(fonts=True)
    assert text.count("@font-face") == 2
    assert not [tag for tag, _ in read.elements if tag in ("script", "link", "img", "iframe")]
    outside = text.replace("http://www.w3.org/2000/svg", "")
    assert "http:" not in outside
    assert "https:" not in outside
    assert "url(" not in outside.replace("url(data:font/ttf;base64,", "")


def test_the_page_follows_light_and_dark_and_is_light_on_paper() -> None:
    text, _ = page()
    assert f"--right:{LIGHT[Role.RIGHT]}" in text
    dark = text.index("@media screen and (prefers-color-scheme:dark)")
    assert text.index(f"--right:{DARK[Role.RIGHT]}") > dark
    assert "@media print" in text
    assert "table-header-group" in text


def test_the_page_shows_the_keyboard_every_row_and_the_care_line() -> None:
    text, read = page()
    assert len(read.of("svg")) == 1 + 3
    assert CARE in text
    assert [name for name in ("Part 1", "Part 2", "Part 3") if f'aria-label="{name}"' in text] == [
        "Part 1",
        "Part 2",
        "Part 3",
    ]


def test_a_title_is_never_read_as_markup() -> None:
    plan = fixed_plan()
    text = write_plan_html(plan, plan_assets()).decode()
    assert "<Ferry>" not in text
    assert "Night &lt;Ferry&gt; &amp; “Co”" in text
    document = plan_document(plan, plan_assets())
    assert document.source == LAYOUT
    assert json.loads(document.inputs["plan"])["title"] == "Night <Ferry> & “Co”"


def kept_rows(count: int, long: frozenset[int] = frozenset()) -> list[tuple[int, bool]]:
    plan = fixed_plan()
    rows = [plan.rows[place % len(plan.rows)] for place in range(count)]
    from msgspec.structs import replace

    rows = [replace(row, say=("word " * 400,)) if place in long else row for place, row in enumerate(rows)]
    document = plan_document(replace(plan, rows=tuple(rows)), plan_assets())
    return [(row["keep"], row["free"]) for row in json.loads(document.inputs["plan"])["rows"]]


@pytest.mark.parametrize("count", range(1, 16))
def test_the_first_and_the_last_rows_stay_together_and_every_row_fills_the_first_column_once(count: int) -> None:
    rows = kept_rows(count)
    covered = [0] * count
    for place, (keep, free) in enumerate(rows):
        assert not (keep and free)
        for row in range(place, place + keep):
            covered[row] += 1
        covered[place] += free
    assert covered == [1] * count
    assert rows[0][0] == min(3, count)
    assert count < 6 or rows[count - 3][0] == 3


def test_a_very_long_row_may_be_divided_and_is_kept_with_nothing() -> None:
    rows = kept_rows(9, long=frozenset({8}))
    assert [keep for keep, _ in rows] == [3, 0, 0, 0, 0, 0, 0, 0, 0]
    document = json.loads(plan_document(fixed_plan(), plan_assets()).inputs["plan"])
    assert all(row["whole"] for row in document["rows"])


def test_the_size_of_paper_can_be_chosen() -> None:
    typesetter = RememberingTypesetter()
    files = write_plan(ferry(), SETTINGS, plan_assets(typesetter), Paper.LETTER)
    assert json.loads(typesetter.documents[0].inputs["plan"])["paper"] == "us-letter"
    assert b"@page{size:letter" in files["plan.html"]
