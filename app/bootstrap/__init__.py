"""From a bare Python to a program that runs: the environment, the system's libraries, and the step into both.

Nothing here imports anything but the standard library, since it runs before there is anything else. The order is

1. ``environment``: is there a sound ``.venv`` beside pyproject.toml? If not, ``making`` makes it (``exclusive``,
   ``installing``);
2. ``starting.hand_over``: run again inside it;
3. ``system_libraries``: inside, before a window opens, see that the libraries it needs from the system are there; what
   is not there, ``system_packages`` brings.

What it says goes to standard error (``telling``); standard output belongs to the program.
"""

from __future__ import annotations

FOLDER = ".venv"
"""Where the environment lies, beside pyproject.toml."""


class CannotStart(Exception):
    """The program cannot be started here; the text is one sentence that says why and what to do."""
