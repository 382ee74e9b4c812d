"""Outputs as they are named on the command line, played through as the window has kept it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from app.commands.speech import WrongUse
from app.settings.settings import Settings
from app.settings.settings_place import kept_settings, settings_path
from app.settings.settings_text import SettingsError
from core.performance.output import HandChannel, Output
from core.song.errors import DomainError
from core.song.wording import say

EXAMPLE = "Stage piano; right 2/20; left 3; latency 40"


def chosen_outputs(texts: Sequence[str]) -> tuple[Output, ...]:
    """Outputs out of words: a name, and after semicolons what differs from what Settings keeps for it.

    ``right 2/20`` sends the right hand on channel 2 with program 20, ``left 3`` the left one on channel 3 with the
    instrument's own; ``latency 40`` says that it sounds 40 milliseconds late; ``silent keys`` turns its own keys off.

    Raises:
        WrongUse: the words say nothing of the kind, or name one output twice.
    """
    if not texts:
        return ()
    try:
        settings = kept_settings(settings_path())
    except SettingsError:
        settings = Settings()
    outputs = tuple(_output(text, settings) for text in texts)
    names = [output.name for output in outputs]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise WrongUse(say("play: the output “{output}” is named twice; name it once.", output=twice))
    return outputs


def output_named(text: str) -> str:
    """The name of the output that such words are about."""
    return text.partition(";")[0].strip()


def _output(text: str, settings: Settings) -> Output:
    name, *changes = (word.strip() for word in text.split(";"))
    if not name:
        raise WrongUse(
            say(
                "play: “{text}” names no output; say for example “{example}”: a channel, a program after a stroke, "
                "milliseconds.",
                text=text,
                example=EXAMPLE,
            )
        )
    kept = settings.way(name)
    fields: dict[str, Any] = {"right": kept.right, "left": kept.left, "latency": kept.latency}
    try:
        for change in changes:
            fields |= _change(change)
        return Output(name, **fields)
    except DomainError as error:
        raise WrongUse(say("play: {error}", error=error)) from error
    except ValueError as error:
        raise WrongUse(
            say(
                "play: “{text}” cannot be understood; say for example “{example}”: a channel, a program after a "
                "stroke, milliseconds.",
                text=text,
                example=EXAMPLE,
            )
        ) from error


def _change(change: str) -> dict[str, Any]:
    what, _, value = change.partition(" ")
    match what:
        case "right" | "left":
            channel, _, program = value.partition("/")
            return {what: HandChannel(int(channel), int(program) if program else 0)}
        case "latency":
            return {what: int(value)}
        case "silent" if value.strip() == "keys":
            return {"local_off": True}
        case _:
            raise ValueError(change)
