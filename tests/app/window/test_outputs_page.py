"""The page of what playing is heard through: several at once, channels, sounds, delay, a SoundFont."""

from __future__ import annotations

import pytest

from app.engine.protocol import Ports
from app.window.outputs_page import OutputsPage
from core.performance.output import NOTHING, PIANO, HandChannel, Output
from core.song.note import Hand
from tests.helpers.open_window import OpenWindow

STAGE, ORGAN = "Stage piano", "Organ"


@pytest.fixture
def page(opened: OpenWindow) -> OutputsPage:
    opened.engine.ports.emit(Ports((STAGE, ORGAN), ()))
    opened.window.show_settings()
    assert opened.window._settings_page is not None
    opened.window._settings_page.outputs.click()
    assert opened.window._outputs is not None
    return opened.window._outputs


def test_there_is_the_piano_and_every_port(page: OutputsPage) -> None:
    assert list(page.cards) == [PIANO, STAGE, ORGAN]
    assert [name for name, card in page.cards.items() if card.heard.isChecked()] == [PIANO]


def test_several_are_heard_at_once_and_none_where_none_is_chosen(opened: OpenWindow, page: OutputsPage) -> None:
    page.cards[STAGE].heard.click()
    page.cards[ORGAN].heard.click()
    assert [output.name for output in opened.settings.settings.outputs] == [PIANO, STAGE, ORGAN]
    page.cards[PIANO].heard.click()
    assert [output.name for output in opened.settings.settings.outputs] == [STAGE, ORGAN]
    for name in (STAGE, ORGAN):
        page.cards[name].heard.click()
    assert opened.settings.settings.output == NOTHING
    assert opened.settings.settings.outputs == ()


def test_each_hand_has_its_channel_and_sound_and_each_output_its_delay(opened: OpenWindow, page: OutputsPage) -> None:
    card = page.cards[STAGE]
    card.heard.click()
    card.channels[Hand.LEFT].setValue(2)
    card.programs[Hand.LEFT].setValue(33)
    card.latency.setValue(25)
    assert opened.settings.settings.way(STAGE) == Output(STAGE, left=HandChannel(2, 33), latency=25)
    card.heard.click()
    card.heard.click()
    assert opened.settings.settings.way(STAGE).latency == 25, "kept while it is not heard"


def test_what_cannot_be_is_said_and_taken_back(opened: OpenWindow, page: OutputsPage) -> None:
    card = page.cards[STAGE]
    card.heard.click()
    card.channels[Hand.LEFT].setValue(10)
    assert "metronome" in opened.window.bar.text
    assert card.channels[Hand.LEFT].value() == 1
    card.programs[Hand.LEFT].setValue(33)
    assert "program of its own" in opened.window.bar.text
    assert opened.settings.settings.way(STAGE) == Output(STAGE)


def test_one_that_is_chosen_and_goes_is_still_named(opened: OpenWindow, page: OutputsPage) -> None:
    page.cards[STAGE].heard.click()
    opened.engine.ports.emit(Ports((ORGAN,), ()))
    assert list(page.cards) == [PIANO, ORGAN, STAGE]
    assert page.cards[STAGE].heard.text() == "Stage piano (not there now)"


def test_a_soundfont_is_named_and_given_up(opened: OpenWindow, page: OutputsPage) -> None:
    opened.settings.change(sound_font="/music/upright.sf2")
    assert page.font_name.text() == "upright.sf2"
    page.no_font.click()
    assert opened.settings.settings.sound_font == ""
    assert page.font_name.text() == "its own sound"
