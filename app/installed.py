"""The door of an installed copy: ``phrasebench …``.

A wheel puts everything into one folder, ``phrasebench``, so that ``app`` and ``core`` do not stand among everybody
else's packages. This module makes that folder a place to import from, for this process and those it starts.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path


def console() -> int:
    """Runs the program in the interpreter that it is installed in; returns its exit status."""
    home = str(Path(__file__).resolve().parents[1])
    sys.path.insert(0, home)
    os.environ["PYTHONPATH"] = os.pathsep.join([home, *filter(None, [os.environ.get("PYTHONPATH")])])
    from app.main import main

    return main(sys.argv[1:], "phrasebench")
