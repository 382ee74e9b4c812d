"""The helper process: ``python -m app.background``."""

from app.background.worker import main

if __name__ == "__main__":
    main()
