"""``python3 -m app.bootstrap``: makes the environment for the tests and prints its interpreter; used by ``.ci/run``."""

import sys
from pathlib import Path

from app.bootstrap import CannotStart
from app.bootstrap.making import sound_environment
from app.bootstrap.telling import Teller

if __name__ == "__main__":
    try:
        python = sound_environment(Path(__file__).resolve().parents[2], "tests", Teller(sys.stderr))
    except CannotStart as trouble:
        sys.exit(str(trouble))
    sys.stdout.write(f"{python}\n")
