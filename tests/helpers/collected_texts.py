"""The texts that a translator is given, collected as ``.ci/make_texts.py`` collects them."""

from __future__ import annotations

import importlib.util
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

from babel.messages.catalog import Catalog

from tests.helpers.marked_language import CLOSE, OPEN

SCRIPT = Path(__file__).resolve().parents[2] / ".ci" / "make_texts.py"


@cache
def make_texts() -> ModuleType:
    """The script, loaded as a module."""
    spec = importlib.util.spec_from_file_location("make_texts", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def marked_translation() -> Catalog:
    """A translation that says every text between two signs."""
    marked = Catalog(locale="de", charset="utf-8", fuzzy=False)
    for message in make_texts().every_text():
        if message.id:
            forms = message.id if isinstance(message.id, tuple) else (message.id,)
            said = tuple(f"{OPEN}{form}{CLOSE}" for form in forms)
            marked.add(message.id, said if len(said) > 1 else said[0], context=message.context)
    return marked
