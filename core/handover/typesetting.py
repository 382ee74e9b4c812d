"""A document to be typeset, and the one who does it.

Fonts reach a typesetter as a folder, and core reads no folders; so core writes the document, and whoever knows where
the fonts lie sets it (a port; its adapter is in app).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from msgspec import Struct


class TypesetDocument(Struct, frozen=True):
    """A document in Typst's markup.

    Attributes:
        source: the markup. It holds no text of the song's: that comes as inputs, so nothing in it is read as markup.
        inputs: what the markup finds in ``sys.inputs``.
        other_letters: whether it has letters that the project's own fonts lack, so that the machine's fonts are
            needed beside them. Only then does its look depend on the machine.
    """

    source: str
    inputs: Mapping[str, str]
    other_letters: bool = False


class Typesetter(Protocol):
    """Turns a document into the bytes of a PDF; the same document gives the same bytes."""

    def __call__(self, document: TypesetDocument) -> bytes:
        """The PDF; raises PlanError where the document cannot be set."""
        ...
