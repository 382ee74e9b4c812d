"""The words of the command line, and which command they call.

The commands are imported when they are called: no command waits for what only another needs, and none but ``open``
loads the window's library.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import App, CoercionError, CycloptsError, Group, Parameter, Token, UnusedCliTokensError

from app import __version__
from app.commands.speech import WrongUse
from core.song.wording import say

HELP = (
    "Turns a song into a lesson: parts to teach one after another, the words for each, and a plan to film by.\n\n"
    "Without a command it opens the window. FILE is .lesson, .musicxml, .mxl, .xml, .mid, .midi or .abc; book.abc#3 is "
    "the third tune of a book."
)

Json = Annotated[bool, Parameter(help="Make the report one JSON object.", show_default=False)]
Force = Annotated[bool, Parameter(help="Replace files that are there already.", show_default=False)]
NamesOfNotes = Annotated[
    str, Parameter(help="What notes are called: letters, signs, german, syllables (fixed do) or degrees.")
]
SongFile = Annotated[str, Parameter(name="FILE", help="The song.")]


def run(arguments: Sequence[str], name: str) -> int:
    """Carries out a command line.

    Args:
        arguments: the words after the program's name.
        name: what is typed to start the program.

    Returns:
        The exit status.

    Raises:
        WrongUse: the words mean nothing.
        PhrasebenchError: the command failed.
    """
    words = list(arguments)
    while words and words[0] == "--json" and len(words) > 1:
        words = [*words[1:], words[0]]
    application = _application(name)
    try:
        status = application(words, exit_on_error=False, print_error=False)
    except CycloptsError as error:
        raise WrongUse(_what_is_wrong(error, words, name)) from error
    return status if isinstance(status, int) else 0


def _application(name: str) -> App:
    application = App(
        name=name,
        help=HELP,
        help_format="plaintext",
        version=__version__,
        default_parameter=Parameter(negative=""),
        group_parameters=Group("Options"),
        result_action="return_value",
        suppress_keyboard_interrupt=False,
    )
    application.default(_window)
    for word, command in COMMANDS.items():
        application.command(command, name=word)
    return application


def _what_is_wrong(error: CycloptsError, words: Sequence[str], name: str) -> str:
    """One sentence for a command line that means nothing."""
    command = words[0] if words and words[0] in COMMANDS else ""
    help_with = f"{name} {command} --help" if command else f"{name} --help"
    if isinstance(error, UnusedCliTokensError) and error.unused_tokens:
        unused = error.unused_tokens[0]
        if command:
            return say(
                "{command}: “{word}” is one word too many; see {help}.", command=command, word=unused, help=help_with
            )
        near = difflib.get_close_matches(unused, COMMANDS, n=1)
        if near:
            return say(
                "There is no command “{word}”; did you mean “{near}”? See {help}.",
                word=unused,
                near=near[0],
                help=help_with,
            )
        return say(
            "There is no command “{word}”; to open a file, say “{open}”; see {help}.",
            word=unused,
            open=f"{name} open FILE",
            help=help_with,
        )
    error.verbose = False
    what = str(error).strip().rstrip(".").removeprefix(f'Command "{command}" ')
    if what.endswith("?"):
        return say("{command}: {question} see {help}.", command=command or name, question=what, help=help_with)
    return say("{command}: {trouble}; see {help}.", command=command or name, trouble=what, help=help_with)


def _whole_number(_: object, tokens: Sequence[Token]) -> int:
    """A whole number as it is typed; 1.5 is none."""
    try:
        return int(tokens[0].value)
    except ValueError as error:
        raise CoercionError(msg=say("“{word}” is not a whole number", word=tokens[0].value), token=tokens[0]) from error


def _percent(_: object, tokens: Sequence[Token]) -> float:
    """A number of percent as it is typed, with the sign or without."""
    try:
        return float(tokens[0].value.removesuffix("%"))
    except ValueError as error:
        raise CoercionError(
            msg=say("“{word}” is not a number of percent", word=tokens[0].value), token=tokens[0]
        ) from error


def _not_empty(_: object, text: str | None) -> None:
    if text == "":
        raise ValueError(say("A name is wanted"))


def _window(*, json: Json = False) -> int:
    """Open the window on the last lesson, the first time on a demo lesson."""
    from app.commands.open_window import open_window

    return open_window(None, as_json=json)


def _open(file: SongFile, /, *, json: Json = False) -> int:
    """Open the window on a lesson or any other song that can be read."""
    from app.commands.open_window import open_window

    return open_window(file, as_json=json)


def _inspect(
    *files: Annotated[str, Parameter(name="FILE", help="One or more songs.")],
    only: Annotated[str | None, Parameter(help="Print these fields alone: their names, with commas between.")] = None,
    naming: NamesOfNotes = "letters",
    json: Json = False,  # noqa: ARG001 - inspect prints JSON in any case
) -> int:
    """Print everything that is computed for each song: one JSON object on a line of its own."""
    from app.commands.inspect_songs import fields_named, inspect_songs

    if not files:
        raise WrongUse(say("inspect: name one or more songs, as in “{example}”.", example="inspect night_ferry.lesson"))
    return inspect_songs(files, fields_named(only), naming)


def _plan(
    file: SongFile,
    /,
    *,
    out: Annotated[str, Parameter(help="The folder to write to; it is made if it is not there.", validator=_not_empty)],
    naming: NamesOfNotes | None = None,
    parts: Annotated[
        int | None, Parameter(help="Cut the song anew into so many parts.", converter=_whole_number)
    ] = None,
    preset: Annotated[
        str | None, Parameter(help="Give the lesson by this preset of yours.", validator=_not_empty)
    ] = None,
    force: Force = False,
    json: Json = False,
) -> int:
    """Write the session plan: plan.pdf, plan.html, plan.csv and plan.json.

    Without a preset the lesson is given by the usual values, whatever the window's settings say: the same song gives
    the same plan. Presets are kept in the window, on the page Settings.
    """
    from app.commands.plan_lesson import plan_lesson

    return plan_lesson(file, out, force=force, as_json=json, naming=naming, preset=preset, parts=parts)


def _convert(
    file: SongFile,
    /,
    *,
    out: Annotated[str, Parameter(help="The file to write: .lesson, .musicxml or .mid.", validator=_not_empty)],
    force: Force = False,
    json: Json = False,
) -> int:
    """Read a song from any format and write it in another."""
    from app.commands.convert_song import convert_song

    return convert_song(file, out, force=force, as_json=json)


def _play(
    file: SongFile,
    /,
    *,
    part: Annotated[int | None, Parameter(help="Play this part alone.", converter=_whole_number)] = None,
    through: Annotated[int | None, Parameter(help="Play all parts up to this one.", converter=_whole_number)] = None,
    hand: Annotated[Literal["right", "left"] | None, Parameter(help="Play one hand alone.")] = None,
    speed: Annotated[float, Parameter(help="Percent of the song's tempo.", converter=_percent)] = 100.0,
    port: Annotated[str | None, Parameter(help="Play through this MIDI port, not the built-in piano.")] = None,
    also: Annotated[
        list[str] | None,
        Parameter(
            help="Play through this output too, “piano” or a port; after semicolons how, as after --port: “Organ; "
            "right 2/20; left 3/33; latency 40” (channel/program of each hand, milliseconds).",
            negative=(),
        ),
    ] = None,
    soundfont: Annotated[
        str | None, Parameter(help="Hear this SoundFont file, not the built-in piano.", validator=_not_empty)
    ] = None,
    to: Annotated[
        str | None, Parameter(help="Write the sound to this .wav or .flac file.", validator=_not_empty)
    ] = None,
    parts: Annotated[str | None, Parameter(help="Play parts in a row, such as “3, then 1-3”.")] = None,
    bars: Annotated[str | None, Parameter(help="Play these bars, such as “5-8”, or “5-” to the end.")] = None,
    segment: Annotated[
        int | None, Parameter(help="Play this segment of the lesson as it is recorded.", converter=_whole_number)
    ] = None,
    softer: Annotated[Literal["right", "left"] | None, Parameter(help="Hear one hand softer.")] = None,
    times: Annotated[int, Parameter(help="How often it is played in a row.", converter=_whole_number)] = 1,
    rise: Annotated[float, Parameter(help="Percent by which each time is faster.", converter=_percent)] = 0.0,
    count_in: Annotated[bool, Parameter(help="Count a bar before it.", negative=())] = False,
    metronome: Annotated[int, Parameter(help="Clicks to a beat, 1 to 4.", converter=_whole_number)] = 0,
    click: Annotated[float, Parameter(help="How loud it clicks, percent of the usual.", converter=_percent)] = 100.0,
    force: Force = False,
    json: Json = False,
) -> int:
    """Play a song, a part or a run-through, or render it to a file."""
    from app.commands.play_song import Wish, play_song

    wish = Wish(
        part=part,
        through=through,
        hand=hand,
        percent=speed,
        port=port,
        also=tuple(also or ()),
        sound_font=Path(soundfont) if soundfont else None,
        to=Path(to) if to else None,
        row=parts,
        bars=bars,
        segment=segment,
        softer=softer,
        times=times,
        rise=rise,
        count_in=count_in,
        metronome=metronome,
        click=click,
    )
    return play_song(file, wish, force=force, as_json=json)


COMMANDS: dict[str, Callable[..., int]] = {
    "open": _open,
    "inspect": _inspect,
    "plan": _plan,
    "convert": _convert,
    "play": _play,
}
