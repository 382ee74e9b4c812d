"""The engine as a process of its own: ``python -m app.engine``."""

import os

from app.engine.process import main

if __name__ == "__main__":
    # Not sys.exit: a sound library's thread must not be able to hold the process up.
    os._exit(main())
