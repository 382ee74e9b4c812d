"""Sets documents with Typst and the project's own fonts."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from app.resources import asset_path
from core.handover.typesetting import TypesetDocument
from core.song.errors import PlanError
from core.song.wording import say

if TYPE_CHECKING:
    import typst


@cache
def fonts(*, of_the_machine: bool = False) -> typst.Fonts:
    """The project's own fonts, read once.

    Args:
        of_the_machine: whether the fonts of the machine and of the typesetter are at hand for other letters.
    """
    import typst

    return typst.Fonts(
        include_system_fonts=of_the_machine,
        include_embedded_fonts=of_the_machine,
        font_paths=[str(asset_path("fonts"))],
    )


def typeset(document: TypesetDocument) -> bytes:
    """A document as a PDF; the same document gives the same bytes. Raises PlanError where it cannot be set."""
    import typst

    try:
        own_or_more = fonts(of_the_machine=document.other_letters)
        pdf = typst.compile(
            document.source.encode(), font_paths=own_or_more, sys_inputs=dict(document.inputs), format="pdf"
        )
    except RuntimeError as error:
        reason = " ".join(str(error).split())
        raise PlanError(
            say("The plan could not be set for printing ({reason}); please report this.", reason=reason)
        ) from error
    if not isinstance(pdf, bytes):
        raise PlanError(say("The plan could not be set for printing as one file; please report this."))
    return pdf
