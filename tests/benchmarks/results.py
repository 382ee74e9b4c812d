"""Where benchmarks show and keep their figures."""

from __future__ import annotations

import json
import sys
from pathlib import Path

FOLDER = Path(__file__).parent / "results"


def keep(name: str, figures: dict[str, object]) -> None:
    """Write the figures of a benchmark beside the others, as JSON."""
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / f"{name}.json").write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")


def show(text: str = "") -> None:
    """Write a line of a benchmark's table."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()
