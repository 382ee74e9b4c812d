"""Where the assets and the demo songs are: beside the program's code, in a checkout as in an installed copy."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

from core.song.wording import say

HOME: Final = Path(__file__).resolve().parents[1]
"""The folder that holds app, core, assets and demo_songs."""

DEMO_ENDING: Final = ".lesson"


def asset_path(name: str) -> Path:
    """The path of a file or folder among the assets, such as ``fonts/metrics.json``.

    Raises:
        FileNotFoundError: there is none of that name.
    """
    path = HOME.joinpath("assets", *name.split("/"))
    if not path.exists():
        raise FileNotFoundError(2, say("the program's own file is missing; install it again"), str(path))
    return path


@cache
def asset(name: str) -> bytes:
    """The bytes of a file among the assets, read once; raises FileNotFoundError where there is none of that name."""
    return asset_path(name).read_bytes()


def demo_songs() -> tuple[Path, ...]:
    """The demo lessons, the one for a first start at the front."""
    first = HOME / "demo_songs" / f"night_ferry{DEMO_ENDING}"
    return tuple(sorted(first.parent.glob(f"*{DEMO_ENDING}"), key=lambda path: (path != first, path.name)))
