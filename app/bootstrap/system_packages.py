"""How libraries that a window needs from the system get there on a Debian."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

from app.bootstrap import CannotStart
from app.bootstrap.telling import Teller

FAST_APT = ("-o", "DPkg::Lock::Timeout=300", "-o", "APT::Color=0")


class Course(Enum):
    """What to do about a package that is missing."""

    INSTALL = "install"
    ASK = "ask"
    NAME = "name"


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Who starts the program, and where.

    Attributes:
        ci: the variable CI is set.
        root: it runs as root.
        terminal: somebody sits at a terminal who can be asked.
        apt: the machine has apt-get.
        sudo: the machine has sudo.
    """

    ci: bool
    root: bool
    terminal: bool
    apt: bool
    sudo: bool

    @classmethod
    def here(cls) -> Circumstances:
        """As they are now."""
        return cls(
            ci=bool(os.environ.get("CI")),
            root=hasattr(os, "geteuid") and os.geteuid() == 0,
            terminal=sys.stdin is not None and sys.stdin.isatty() and sys.stderr.isatty(),
            apt=shutil.which("apt-get") is not None,
            sudo=shutil.which("sudo") is not None,
        )

    def course(self) -> Course:
        """What to do: on a machine that tests, or as root with nobody there, install; ask whoever sits there."""
        may_install = self.apt and (self.root or self.sudo)
        if may_install and (self.ci or (self.root and not self.terminal)):
            return Course.INSTALL
        return Course.ASK if may_install and self.terminal else Course.NAME


def provide(
    packages: Sequence[str],
    purpose: str,
    teller: Teller,
    circumstances: Circumstances | None = None,
    ask: Callable[[str], str] | None = None,
) -> None:
    """Sees to it that packages of the system are installed, as far as that is ours to do.

    Args:
        packages: names of Debian packages that are missing.
        purpose: what they are needed for, as an infinitive.
        teller: hears what happens.
        circumstances: who starts the program; as they are now where not given.
        ask: puts a question to the person at the terminal and brings the answer.

    Raises:
        CannotStart: they are not installed now; the sentence has the exact command.
    """
    if not packages:
        return
    circumstances = circumstances or Circumstances.here()
    command = install_command(packages, circumstances)
    course = circumstances.course()
    if course is Course.ASK:
        teller.line(f"Phrasebench needs {_listed(packages)} from the system {purpose}.")
        answer = (ask or _ask)(f"Install with “{' '.join(command)}”? [y/n] ")
        course = Course.INSTALL if answer.strip().lower() in ("y", "yes") else Course.NAME
    if course is Course.NAME:
        remedy = (
            f"install it with: {' '.join(command)}"
            if circumstances.apt
            else "install it with this system's own package tool (these are Debian's names)"
        )
        raise CannotStart(f"Phrasebench needs {_listed(packages)} from the system {purpose}; {remedy}")
    teller.begin(f"Installing {_listed(packages)} from the system {purpose}")
    _apt(command, circumstances)
    teller.end("Installed")


def install_command(packages: Sequence[str], circumstances: Circumstances) -> list[str]:
    """The exact command that installs packages."""
    rights = [] if circumstances.root else ["sudo"]
    return [*rights, "apt-get", "install", "--yes", "--no-install-recommends", *packages]


def _apt(command: Sequence[str], circumstances: Circumstances) -> None:
    """Runs apt-get; a bare machine has no lists of packages yet, so a first failure fetches them and tries again."""
    place = command.index("apt-get")
    first = [*command[: place + 1], *FAST_APT, *command[place + 1 :]]
    update = [*command[: place + 1], *FAST_APT, "update"]
    surroundings = {**os.environ, "DEBIAN_FRONTEND": "noninteractive", "LC_ALL": "C.UTF-8"}
    quiet = not circumstances.terminal
    for attempt in (first, update, first):
        done = subprocess.run(
            attempt,
            stdin=subprocess.DEVNULL if quiet else None,
            stdout=subprocess.PIPE if quiet else sys.stderr,
            stderr=subprocess.STDOUT if quiet else None,
            env=surroundings,
            text=True,
            check=False,
        )
        if done.returncode == 0 and attempt is first:
            return
    words = [line.strip() for line in (done.stdout or "").splitlines() if line.strip()]
    raise CannotStart(f"apt-get failed ({words[-1] if words else 'see above'}); run it by hand: {' '.join(command)}")


def _ask(question: str) -> str:
    sys.stderr.write(question)
    sys.stderr.flush()
    return sys.stdin.readline()


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
