"""The libraries that a window needs from the system.

Qt brings its own libraries but leaves those of the graphics system to the machine; a bare Debian has none of them. The
list was found on Debian 12 by starting a window and adding what was missing (with libxcb-icccm4 or libxcb-keysyms1
missing, Qt blames libxcb-cursor0).
"""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Callable, Sequence
from typing import NamedTuple


class Library(NamedTuple):
    """A library of the system.

    Attributes:
        package: the Debian package that holds it.
        file: the name under which the loader finds it.
    """

    package: str
    file: str


DRAWING = (
    Library("libegl1", "libEGL.so.1"),
    Library("libgl1", "libGL.so.1"),
    Library("libfontconfig1", "libfontconfig.so.1"),
    Library("libglib2.0-0", "libglib-2.0.so.0"),
    Library("libdbus-1-3", "libdbus-1.so.3"),
    Library("libxkbcommon0", "libxkbcommon.so.0"),
)
"""What Qt needs to draw at all, with or without a screen."""

SCREEN = (
    Library("libxkbcommon-x11-0", "libxkbcommon-x11.so.0"),
    Library("libx11-xcb1", "libX11-xcb.so.1"),
    Library("libxcb-cursor0", "libxcb-cursor.so.0"),
    Library("libxcb-icccm4", "libxcb-icccm.so.4"),
    Library("libxcb-keysyms1", "libxcb-keysyms.so.1"),
    Library("libxcb-image0", "libxcb-image.so.0"),
    Library("libxcb-randr0", "libxcb-randr.so.0"),
    Library("libxcb-render-util0", "libxcb-render-util.so.0"),
    Library("libxcb-shape0", "libxcb-shape.so.0"),
    Library("libxcb-sync1", "libxcb-sync.so.1"),
    Library("libxcb-xfixes0", "libxcb-xfixes.so.0"),
    Library("libxcb-xkb1", "libxcb-xkb.so.1"),
)
"""What it needs on top of that to show a window on an X screen."""


def loads(file: str) -> bool:
    """Whether the loader finds a library."""
    try:
        ctypes.CDLL(file)
    except OSError:
        return False
    return True


def missing(libraries: Sequence[Library], loads: Callable[[str], bool] = loads) -> list[str]:
    """The packages of those libraries that the machine has not got; none on a system whose Qt needs none of them."""
    if not sys.platform.startswith("linux"):
        return []
    return [library.package for library in libraries if not loads(library.file)]
