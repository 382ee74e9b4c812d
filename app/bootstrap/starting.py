"""The start of both commands: into the environment, and there the libraries of the system.

A run that was handed over into an environment just found sound has nothing more to look at; only the others load what
looks at environments, which takes longer than all else that happens here.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from app.bootstrap import FOLDER, CannotStart
from app.bootstrap.system_libraries import DRAWING, SCREEN, Library, missing

PREPARED = "PHRASEBENCH_PREPARED"
"""Set for the run inside the environment, so that it does not look again at what was just found sound."""

WITHOUT_WINDOW = frozenset({"inspect", "plan", "convert", "play"})
"""The commands that open no window."""


def opens_window(arguments: Sequence[str]) -> bool:
    """Whether a command line opens the window; one that only asks for help or is wrong does not."""
    asks = any(argument in ("--help", "-h", "--version") for argument in arguments)
    words = [argument for argument in arguments if not argument.startswith("-")]
    return not asks and (not words or words[0] == "open")


def enter(home: Path, purpose: str, module: str, arguments: Sequence[str]) -> int | None:
    """Goes into the environment, making it if need be.

    Args:
        home: the folder that holds pyproject.toml.
        purpose: ``app`` or ``tests``: what the environment must hold.
        module: what to run there with ``python -m``.
        arguments: the command line.

    Returns:
        None when this is the run inside and may go on; otherwise the exit status of the run inside, where the system
        cannot put one program in another's place.

    Raises:
        CannotStart: there is no environment and none can be made.
    """
    environment = home / FOLDER
    inside = os.path.realpath(sys.prefix) == os.path.realpath(environment)
    if inside and os.environ.pop(PREPARED, ""):
        return None
    from app.bootstrap.environment import State, base_interpreter, examine, identity, interpreter_in
    from app.bootstrap.lock import wanted

    state = examine(environment, wanted(home, purpose, sys.version_info[:2]), identity())
    if inside and state not in (State.SOUND, State.OUTDATED, State.UNSTAMPED):
        # What is to be cleared away must not be what runs: the interpreter it was made from does it.
        return hand_over(base_interpreter(), module, arguments, home, {})
    if state is not State.SOUND:
        from app.bootstrap.making import sound_environment
        from app.bootstrap.telling import Teller

        sound_environment(home, purpose, Teller(sys.stderr))
    if inside:
        return None
    return hand_over(str(interpreter_in(environment)), module, arguments, home, {PREPARED: "1"})


def hand_over(python: str, module: str, arguments: Sequence[str], home: Path, settings: dict[str, str]) -> int:
    """Runs a module of the project with another interpreter, in this one's place where the system can do that.

    Raises:
        CannotStart: that interpreter cannot be started.
    """
    path = os.pathsep.join([str(home), *filter(None, [os.environ.get("PYTHONPATH")])])
    surroundings = {**os.environ, "PYTHONPATH": path, **settings}
    command = [python, "-m", module, *arguments]
    sys.stdout.flush()
    sys.stderr.flush()
    try:
        if os.name == "posix":
            os.execve(python, command, surroundings)
        import subprocess

        return subprocess.run(command, env=surroundings, check=False).returncode
    except OSError as error:
        raise CannotStart(
            f"{python}: this interpreter cannot be started ({error.strerror or error}); "
            f"remove {home / FOLDER} and start again."
        ) from error


def ready_for_window() -> None:
    """Sees that the system has what a window needs; raises CannotStart with the exact command where it has not."""
    _see_to((*DRAWING, *SCREEN), "to open a window")


def ready_for_tests(on_screen: bool) -> None:
    """Sees that the system has what the tests need: on a machine that tests, all a window needs; else what they use."""
    everything = on_screen or bool(os.environ.get("CI"))
    _see_to((*DRAWING, *SCREEN) if everything else DRAWING, "for the tests")


def _see_to(libraries: Sequence[Library], purpose: str) -> None:
    """Sees to it that the system has those libraries."""
    lacking = missing(libraries)
    if lacking:
        from app.bootstrap.system_packages import provide
        from app.bootstrap.telling import Teller

        provide(lacking, purpose, Teller(sys.stderr))
