"""The program speaks the language of the system where there is a catalogue for it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po

from app.languages import find_catalogue, languages_wanted
from app.resources import HOME
from tests.helpers.collected_texts import make_texts, marked_translation
from tests.helpers.marked_language import OPEN


@pytest.fixture(scope="module")
def languages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("languages")
    with (folder / "de.po").open("wb") as file:
        write_po(file, marked_translation())
    make_texts().make("de", folder / "de.po", folder)
    return folder


@pytest.mark.parametrize(
    ("environment", "wanted"),
    [
        ({}, ()),
        ({"LANG": "C.UTF-8"}, ()),
        ({"LANG": "en_GB.UTF-8"}, ()),
        ({"LANG": "de_AT.UTF-8@euro"}, ("de_AT", "de")),
        ({"LANG": "de_DE", "LC_ALL": "fr"}, ("fr",)),
        ({"LANG": "de_DE", "LANGUAGE": "cs:de_DE:en:fr"}, ("cs", "de_DE", "de")),
        ({"LANG": "de_DE", "PHRASEBENCH_LANGUAGE": "en"}, ()),
    ],
)
def test_the_system_says_which_language(environment: dict[str, str], wanted: tuple[str, ...]) -> None:
    assert languages_wanted(environment) == wanted


def test_without_a_catalogue_it_is_english(tmp_path: Path) -> None:
    assert find_catalogue(("de",), tmp_path) is None
    assert find_catalogue((), tmp_path) is None


def test_a_damaged_catalogue_is_passed_over(tmp_path: Path) -> None:
    file = tmp_path / "de" / "LC_MESSAGES" / "phrasebench.mo"
    file.parent.mkdir(parents=True)
    file.write_bytes(b"no catalogue")
    assert find_catalogue(("de",), tmp_path) is None


def program(*words: str, languages: Path) -> subprocess.CompletedProcess[str]:
    spoken = {"PHRASEBENCH_LANGUAGE": "de_AT", "PHRASEBENCH_LANGUAGES": str(languages)}
    return subprocess.run(
        [sys.executable, "-m", "app", *words],
        cwd=HOME,
        env={**os.environ, **spoken},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_the_command_line_speaks_it(languages: Path) -> None:
    done = program("inspect", "demo_songs/nowhere.lesson", languages=languages)
    assert done.returncode == 2
    assert done.stderr.startswith(OPEN)


def test_what_files_and_programs_go_by_is_the_same_in_every_language(languages: Path, tmp_path: Path) -> None:
    """A lesson read and written under another language is the same lesson to the letter."""
    for name in ("night_ferry.lesson", "heron_at_the_sluice.mid", "lamplighters_waltz.musicxml"):
        source = str(HOME / "demo_songs" / name)
        spoken, english = tmp_path / f"spoken_{name}.lesson", tmp_path / f"english_{name}.lesson"
        assert program("convert", source, "--out", str(spoken), languages=languages).returncode == 0
        assert program("convert", source, "--out", str(english), languages=tmp_path).returncode == 0
        assert spoken.read_bytes() == english.read_bytes()


def test_texts_are_collected_with_their_places() -> None:
    texts = [message for message in make_texts().every_text() if message.id]
    assert len(texts) > 1000
    assert all(message.locations for message in texts)


def test_a_translation_with_a_place_that_there_is_not_is_refused(tmp_path: Path) -> None:
    wrong = Catalog(locale="de")
    wrong.add("Part {number} is the last one.", "Teil {nummer} ist der letzte.")
    wrong.add("of %1", "von %1")
    with (tmp_path / "de.po").open("wb") as file:
        write_po(file, wrong)
    with pytest.raises(ValueError, match=r"has no place \{nummer\}; write \{number\}\."):
        make_texts().make("de", tmp_path / "de.po", tmp_path)
    assert not (tmp_path / "de").exists()
