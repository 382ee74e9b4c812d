"""What stands before the music of a MusicXML score: title, people, rights, and whether we wrote it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

OWN_SOFTWARE: Final = "Phrasebench"
PLAYING_ORDER_FIELD: Final = "phrasebench playing order"


class Facts(Struct, frozen=True):
    """Facts of a score.

    Attributes:
        title: empty where there is none.
        composer: empty where there is none.
        rights: empty where there is none.
        is_own: whether Phrasebench wrote the score, so that its rehearsal marks are a lesson's parts.
        playing_order: of those parts; empty where we did not write it.
    """

    title: str = ""
    composer: str = ""
    rights: str = ""
    is_own: bool = False
    playing_order: tuple[int, ...] = ()


NO_FACTS: Final = Facts()


def facts_of(score: Element) -> Facts:
    """The facts of a score: the work's title, else the movement's, else the one printed on the page."""
    work, movement = text_of(score, "work/work-title"), text_of(score, "movement-title")
    printed = (
        text_of(credit, "credit-words")
        for credit in score.iterfind("credit")
        if text_of(credit, "credit-type") == "title"
    )
    creators = [creator for creator in score.iterfind("identification/creator") if (creator.text or "").strip()]
    composers = [creator for creator in creators if creator.get("type", "composer") == "composer"]
    rights = [" ".join((entry.text or "").split()) for entry in score.iterfind("identification/rights")]
    is_own = text_of(score, "identification/encoding/software").startswith(OWN_SOFTWARE)
    return Facts(
        title=work or movement or next(printed, ""),
        composer=", ".join(" ".join((creator.text or "").split()) for creator in composers),
        rights="; ".join(entry for entry in rights if entry),
        is_own=is_own,
        playing_order=_playing_order(score) if is_own else (),
    )


def _playing_order(score: Element) -> tuple[int, ...]:
    for entry in score.iterfind("identification/miscellaneous/miscellaneous-field"):
        if entry.get("name") == PLAYING_ORDER_FIELD:
            return tuple(int(number) for number in (entry.text or "").split() if number.isdecimal())
    return ()


def text_of(element: Element, path: str) -> str:
    """The text at a path, with its blanks as single spaces; empty where there is none."""
    return " ".join((element.findtext(path) or "").split())
