"""The environment made anew or brought up to date.

A half-made, moved or foreign one is made anew, one that only lacks what the lock has gained since is brought up to
date, and one without a stamp that works, made by hand perhaps, is taken over as it is.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from app.bootstrap import FOLDER, CannotStart, system_packages
from app.bootstrap.environment import (
    Stamp,
    State,
    base_interpreter,
    examine,
    identity,
    interpreter_in,
    read_stamp,
    write_stamp,
)
from app.bootstrap.exclusive import alone
from app.bootstrap.installing import install, remove
from app.bootstrap.lock import PURPOSES, Wanted, package_names, wanted
from app.bootstrap.telling import Teller

LOCK_FILE = ".venv.lock"

VENV = ("venv",)
"""Python's own module for environments, and its options."""

REMADE = frozenset({State.HALF_MADE, State.MOVED, State.OTHER_PYTHON})
"""States in which nothing of the old environment is kept."""


def sound_environment(home: Path, purpose: str, teller: Teller) -> Path:
    """The interpreter of an environment that holds what is wanted, made if need be.

    Args:
        home: the folder that holds pyproject.toml.
        purpose: ``app`` or ``tests``.
        teller: hears how far the work has come.

    Raises:
        CannotStart: it cannot be made.
    """
    environment = home / FOLDER
    need = wanted(home, purpose, sys.version_info[:2])
    if examine(environment, need, identity()) is not State.SOUND:
        with alone(home / LOCK_FILE, lambda: teller.begin("Another start is making the environment; waiting for it.")):
            _mend(environment, need, home, teller)
    return interpreter_in(environment)


def _mend(environment: Path, need: Wanted, home: Path, teller: Teller) -> None:
    state = examine(environment, need, identity())
    if state is State.UNSTAMPED and not _takes_packages(environment):
        state = State.OTHER_PYTHON
    if state is State.SOUND:
        return
    if state in (State.OUTDATED, State.UNSTAMPED):
        teller.begin(f"Bringing the environment in {environment} up to date")
    else:
        why = f", since the present one is {state.value}" if state in REMADE else ""
        teller.begin(f"Making the environment in {environment}{why}")
    try:
        before = read_stamp(environment) if state is State.OUTDATED else None
        if state in REMADE:
            _clear(environment)
        if state not in (State.OUTDATED, State.UNSTAMPED):
            _create(environment, teller)
        _fill(environment, need, before, home, teller)
    except OSError as error:
        raise CannotStart(
            f"{environment}: the environment cannot be made here ({error.strerror or error}); "
            "close other windows of Phrasebench, see that the folder is your own and the disk has 1.5 GB free."
        ) from error
    teller.end("The environment is ready")


def _fill(environment: Path, need: Wanted, before: Stamp | None, home: Path, teller: Teller) -> None:
    """Installs what is wanted for a purpose and for every other that the environment already served."""
    others = [purpose for purpose in (before.marks if before else {}) if purpose != need.purpose]
    needs = [need, *(wanted(home, purpose, sys.version_info[:2]) for purpose in others)]
    requirements = tuple(dict.fromkeys(line for each in needs for line in each.requirements))
    place = str(environment.resolve())
    write_stamp(environment, Stamp(identity(), place, whole=False))
    install(interpreter_in(environment), requirements, environment, teller)
    names = package_names(requirements)
    gone = sorted(set(before.packages) - names) if before else []
    if gone:
        remove(interpreter_in(environment), gone)
    every = [wanted(home, purpose, sys.version_info[:2]) for purpose in PURPOSES]
    marks = {each.purpose: each.mark for each in every if set(each.requirements) <= set(requirements)}
    write_stamp(environment, Stamp(identity(), place, whole=True, marks=marks, packages=sorted(names)))


def _create(environment: Path, teller: Teller) -> None:
    """Makes an empty environment with pip in it."""
    if find_spec("ensurepip") is None:
        system_packages.provide(["python3-venv"], "to make its environment", teller)
    environment.mkdir(exist_ok=True)
    write_stamp(environment, Stamp(identity(), str(environment.resolve()), whole=False))
    made = subprocess.run(
        [base_interpreter(), "-m", *VENV, str(environment)], capture_output=True, text=True, check=False
    )
    if made.returncode:
        words = " ".join((made.stdout + made.stderr).split())
        remedy = "install python3-venv (sudo apt-get install python3-venv) and start again"
        raise CannotStart(f"{environment}: Python could not make an environment here ({words[-300:]}); {remedy}.")


def _takes_packages(environment: Path) -> bool:
    """Whether an environment that carries no stamp runs on this Python and can be installed into."""
    question = "import pip, sys; print('%d.%d' % sys.version_info[:2])"
    answer = subprocess.run(
        [str(interpreter_in(environment)), "-c", question], capture_output=True, text=True, check=False
    )
    return answer.stdout.strip() == f"{sys.version_info[0]}.{sys.version_info[1]}"


def _clear(environment: Path) -> None:
    if environment.is_symlink() or environment.is_file():
        environment.unlink()
    elif environment.exists():
        shutil.rmtree(environment)
