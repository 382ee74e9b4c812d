"""Repeat signs, endings and jumps of a MusicXML score, bar by bar.

The elements are ``barline`` (with ``repeat`` and ``ending``), ``segno`` and ``coda``, the attributes of ``sound``
(``dacapo``, ``dalsegno``, ``segno``, ``coda``, ``tocoda``, ``fine``), and what is only written in words: D.C., D.S.,
To Coda, Fine (MusicXML 4.0, W3C).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_DA_CAPO: Final = re.compile(r"\b(d\.?\s*c\b|da\s+capo)", re.IGNORECASE)
_DAL_SEGNO: Final = re.compile(r"\b(d\.?\s*s\b|dal\s+segno)", re.IGNORECASE)
_TO_CODA: Final = re.compile(r"^\W*to\s+coda\b", re.IGNORECASE)
_CODA: Final = re.compile(r"^\W*coda\W*$", re.IGNORECASE)
_FINE: Final = re.compile(r"^\W*fine\W*$", re.IGNORECASE)
MOST_PASSES: Final = 20
"""More passes than anyone plays; a larger number in a file is a slip."""


class BarSigns(Struct):
    """The signs of one bar, as `core.formats.source.SourceBar` has them."""

    repeat_start: bool = False
    repeat_times: int = 0
    endings: tuple[int, ...] = ()
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    fine: bool = False
    jump: str = ""


class RepeatScan(Struct):
    """Collects signs while a score's bars are gone through, part after part."""

    warnings: list[str] = field(default_factory=list)
    _bars: dict[int, BarSigns] = field(default_factory=dict)
    _coda_signs: list[int] = field(default_factory=list)
    _ending: tuple[int, ...] = ()
    _ending_stops: bool = False
    _last: int = -1

    def bar_signs(self) -> list[BarSigns]:
        """The signs of every bar, once all parts have been gone through."""
        signs = sorted(set(self._coda_signs))
        goes_to_coda = any(bar.to_coda for bar in self._bars.values())
        if not goes_to_coda and len(signs) > 1:
            # Of two coda signs the first says where to leave, the second where to go.
            self._bars[signs[0]].to_coda = True
            signs = signs[1:]
        for index in signs:
            if not self._bars[index].to_coda:
                self._bars[index].coda = True
        bars = [self._bars.get(index, BarSigns()) for index in range(self._last + 1)]
        _extend_endings(bars)
        return bars

    def _bar(self, index: int) -> BarSigns:
        self._last = max(self._last, index)
        return self._bars.setdefault(index, BarSigns())

    def begin_part(self) -> None:
        """Begin another part, from its first bar."""
        self._ending, self._ending_stops = (), False

    def take_bar(self, index: int) -> None:
        """Take note that a bar has been gone through."""
        bar = self._bar(index)
        if self._ending and not bar.endings:
            bar.endings = self._ending
        if self._ending_stops or (self._ending and bar.repeat_times):
            self._ending, self._ending_stops = (), False

    def take_barline(self, index: int, barline: Element) -> None:
        """Take in a bar line's repeat and ending."""
        at_left = barline.get("location", "right") == "left"
        ending = barline.find("ending")
        if ending is not None:
            if ending.get("type") == "start":
                self._ending, self._ending_stops = _numbers(ending.get("number", "")), False
                self._bar(index).endings = self._ending
            else:
                self._ending_stops = True
        repeat = barline.find("repeat")
        if repeat is None:
            return
        if repeat.get("direction") == "forward":
            self._bar(index if at_left else index + 1).repeat_start = True
        elif index or not at_left:
            times = repeat.get("times", "2")
            count = int(times) if times.isdecimal() else 2
            bar = self._bar(index - 1 if at_left else index)
            bar.repeat_times = max(bar.repeat_times, min(max(2, count), MOST_PASSES))

    def take_sound(self, index: int, sound: Element) -> None:
        """Take in the jumps that a sound element tells."""
        bar = self._bar(index)
        if sound.get("dacapo") == "yes":
            bar.jump = "capo"
        if sound.get("dalsegno"):
            bar.jump = "segno"
        if sound.get("fine"):
            bar.fine = True
        if sound.get("tocoda"):
            bar.to_coda = True
        if sound.get("segno"):
            bar.segno = True
        if sound.get("coda"):
            bar.coda = True

    def take_sign(self, index: int, sign: str) -> None:
        """Take in a segno or coda sign."""
        bar = self._bar(index)
        if sign == "segno":
            bar.segno = True
        else:
            self._coda_signs.append(index)

    def take_words(self, index: int, words: str) -> bool:
        """Take in words that tell a jump; whether they do."""
        if _DA_CAPO.search(words):
            self._bar(index).jump = self._bar(index).jump or "capo"
        elif _DAL_SEGNO.search(words):
            self._bar(index).jump = self._bar(index).jump or "segno"
        elif _TO_CODA.search(words):
            self._bar(index).to_coda = True
        elif _CODA.search(words):
            self._coda_signs.append(index)
            self._bar(index)
        elif _FINE.search(words):
            self._bar(index).fine = True
        else:
            return False
        return True


def _extend_endings(bars: list[BarSigns]) -> None:
    """Let an ending whose bracket is drawn over its first bars only last up to its repeat sign.

    It does where, after the bracket, a backward repeat comes before any other sign and another ending follows it.
    """
    for index in range(len(bars) - 1):
        ending = bars[index].endings
        if not ending or bars[index].repeat_times or bars[index + 1].endings:
            continue
        end = index + 1
        while end < len(bars) and not (bars[end].repeat_times or bars[end].repeat_start or bars[end].endings):
            end += 1
        if end + 1 < len(bars) and bars[end].repeat_times and not bars[end].repeat_start and bars[end + 1].endings:
            for bar in bars[index + 1 : end + 1]:
                bar.endings = ending


def _numbers(text: str) -> tuple[int, ...]:
    """The passes of an ending: ``1``, ``1, 2`` or ``1-3``; the first where the text names none."""
    numbers: list[int] = []
    for piece in text.replace(".", "").split(","):
        first, dash, last = piece.strip().partition("-")
        if first.isdecimal():
            end = int(last) if dash and last.isdecimal() else int(first)
            numbers.extend(range(int(first), min(end, int(first) + MOST_PASSES) + 1))
    return tuple(sorted(set(numbers))) or (1,)
