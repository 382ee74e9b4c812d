"""Golden files: what a picture or document looked like when somebody last looked at it.

A test that finds a difference fails and says how to renew the file: run the tests with PHRASEBENCH_RENEW_GOLDEN=1,
then look at what changed before it is committed.
"""

from __future__ import annotations

import os
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[1] / "golden"
RENEW = "PHRASEBENCH_RENEW_GOLDEN"


def check_golden(name: str, contents: str | bytes) -> None:
    """Fail where contents differ from the golden file of a name, or write the file where it is to be renewed."""
    data = contents.encode() if isinstance(contents, str) else contents
    path = FOLDER / name
    if os.environ.get(RENEW):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        return
    assert path.exists(), f"there is no golden file {name}; write it with {RENEW}=1 and look at it"
    assert path.read_bytes() == data, f"{name} has changed; if that is meant, write it anew with {RENEW}=1"
