"""The settings themselves: one frozen object, with the range of every field."""

from __future__ import annotations

from typing import Final

from msgspec.structs import replace

from core.drawing.keyboard import SIZES
from core.performance.output import NOTHING, PIANO, Output
from core.session.lesson_settings import LessonSettings, Preset
from core.song.errors import DomainError
from core.song.pattern_grid import OwnPattern
from core.song.wording import say

VERSION: Final = 1
"""Version of the settings file that this program writes."""

THEMES: Final = ("system", "light", "dark")
HANDS_HEARD: Final = ("right", "left", "both")
HANDS_SOFTER: Final = ("none", "right", "left")
HANDS_PLAYED: Final = ("none", "right", "left", "both")
MOST_CLICKS: Final = 4
SOFTEST_CLICK: Final = 20
LOUDEST_CLICK: Final = 170
MOST_FASTER: Final = 20
SLOWEST_PERCENT: Final = 30
FASTEST_PERCENT: Final = 120
SMALLEST_ZOOM: Final = 60
LARGEST_ZOOM: Final = 200
SMALLEST_TEXT: Final = 100
LARGEST_TEXT: Final = 200
MOTIONS: Final = ("system", "less")
FIRST_HINTS: Final = 3
"""How many hints a first start has."""
LONGEST_PHRASE: Final = 400
RECENT_FILES_KEPT: Final = 10


class Settings(LessonSettings, frozen=True):
    """Everything remembered between two starts: how lessons are given, and the rest.

    Attributes:
        theme: ``system``, ``light`` or ``dark``.
        zoom: size of the lesson sheet in percent, 60 … 200.
        text_scale: size of the window's text in percent, 100 … 200.
        motion: ``system``, or ``less`` where nothing is to move by itself but the music.
        hints_done: how many of the hints of the first start have been done or put away, 0 … 3.
        phrases: the teacher's own phrases, to be put into the words of a part.
        recent: paths of the lessons opened last, newest first, at most ten.
        folder: the folder whose lessons Songs lists, or an empty string where none was chosen.
        hands: what is heard: ``right``, ``left`` or ``both``.
        speed: percent of the teaching or song tempo that playing uses, 30 … 120.
        count_in: whether a bar is counted before playing.
        again: whether what plays begins again at its end.
        metronome: whether every beat clicks.
        softer: a hand that is heard softer: ``right``, ``left`` or ``none``.
        clicks: clicks of the metronome to a beat, 1 … 4.
        click_percent: how hard it clicks, 20 … 170 percent of the usual.
        faster: percent of the song's tempo by which each time is faster, 0 … 20.
        count_again: whether the count-in is part of what is played again and again.
        output: what playing is heard through: ``piano``, ``none``, or the name of a MIDI port.
        also: names of what it is heard through besides, at the same time.
        ways: how outputs are played through, each under its name, whether it is chosen now or not.
        sound_font: path of a SoundFont that sounds in place of the built-in piano, empty for the piano itself.
        keyboard: name of the MIDI keyboard that is listened to, empty for none.
        keyboard_heard: whether the built-in piano sounds what is played on it.
        local_off: whether the keys of the instrument that is played through are silent meanwhile.
        low_latency: whether little sound is queued, so that a key is heard at once.
        own_hands: the hands that the teacher plays along with: ``right``, ``left``, ``both`` or ``none``.
        wait: whether the music waits for each note of theirs.
        own_patterns: left-hand patterns of the teacher's own, to be used in any lesson.
        presets: named ways of giving lessons, in the order of their names.
        keys_shown: how many keys the keyboard on the screen has, 25 … 88; 0 for as many as the song needs.
        key_names: whether names are written on its keys.
        keyboard_height: its height in pixels, 0 for the usual one.
        window_width: pixels, 0 where the window has not been sized yet.
        window_height: pixels, 0 likewise.
        extra: fields of the file that this version does not know, as pairs of a name and its JSON text.
    """

    theme: str = "system"
    zoom: int = 100
    text_scale: int = 100
    motion: str = "system"
    hints_done: int = 0
    phrases: tuple[str, ...] = ()
    recent: tuple[str, ...] = ()
    folder: str = ""
    hands: str = "both"
    speed: int = 100
    count_in: bool = False
    again: bool = False
    metronome: bool = False
    softer: str = "none"
    clicks: int = 1
    click_percent: int = 100
    faster: int = 0
    count_again: bool = False
    output: str = "piano"
    also: tuple[str, ...] = ()
    ways: tuple[Output, ...] = ()
    sound_font: str = ""
    keyboard: str = ""
    keyboard_heard: bool = True
    local_off: bool = False
    low_latency: bool = False
    own_hands: str = "none"
    wait: bool = False
    own_patterns: tuple[OwnPattern, ...] = ()
    presets: tuple[Preset, ...] = ()
    keys_shown: int = 0
    key_names: bool = False
    keyboard_height: int = 0
    window_width: int = 0
    window_height: int = 0
    extra: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.theme not in THEMES:
            raise DomainError(say("the theme"), self.theme, say("one of {names}", names=", ".join(THEMES)))
        for what, chosen, choices in (
            (say("what is heard"), self.hands, HANDS_HEARD),
            (say("the hand that is heard softer"), self.softer, HANDS_SOFTER),
            (say("what is played along"), self.own_hands, HANDS_PLAYED),
        ):
            if chosen not in choices:
                raise DomainError(what, chosen, say("one of {names}", names=", ".join(choices)))
        if not 1 <= self.clicks <= MOST_CLICKS:
            raise DomainError(say("the clicks to a beat"), self.clicks, say("from 1 to {most}", most=MOST_CLICKS))
        if not SOFTEST_CLICK <= self.click_percent <= LOUDEST_CLICK:
            raise DomainError(
                say("the clicks' loudness"),
                self.click_percent,
                say("from {least} to {most}", least=SOFTEST_CLICK, most=LOUDEST_CLICK),
            )
        if not 0 <= self.faster <= MOST_FASTER:
            raise DomainError(
                say("how much faster each time is"), self.faster, say("from 0 to {most} percent", most=MOST_FASTER)
            )
        if not SMALLEST_ZOOM <= self.zoom <= LARGEST_ZOOM:
            raise DomainError(
                say("the zoom"),
                self.zoom,
                say("from {least} to {most} percent", least=SMALLEST_ZOOM, most=LARGEST_ZOOM),
            )
        if not SLOWEST_PERCENT <= self.speed <= FASTEST_PERCENT:
            raise DomainError(
                say("the speed"),
                self.speed,
                say("from {least} to {most} percent", least=SLOWEST_PERCENT, most=FASTEST_PERCENT),
            )
        if not SMALLEST_TEXT <= self.text_scale <= LARGEST_TEXT:
            raise DomainError(
                say("the size of text"),
                self.text_scale,
                say("from {least} to {most} percent", least=SMALLEST_TEXT, most=LARGEST_TEXT),
            )
        if self.motion not in MOTIONS:
            raise DomainError(say("the motion"), self.motion, say("one of {names}", names=", ".join(MOTIONS)))
        if not 0 <= self.hints_done <= FIRST_HINTS:
            raise DomainError(say("the number of hints"), self.hints_done, say("from 0 to {most}", most=FIRST_HINTS))
        for phrase in self.phrases:
            if not phrase.strip() or len(phrase) > LONGEST_PHRASE:
                raise DomainError(say("a phrase"), phrase[:40], say("from 1 to {most} letters", most=LONGEST_PHRASE))
        if self.keys_shown and self.keys_shown not in SIZES:
            raise DomainError(
                say("the keys shown"), self.keys_shown, say("0 or one of {sizes}", sizes=", ".join(map(str, SIZES)))
            )
        names = [preset.name for preset in self.presets]
        if len(set(names)) < len(names):
            raise DomainError(say("the names of presets"), ", ".join(names), say("each its own"))
        drawn = [own.name for own in self.own_patterns]
        if len(set(drawn)) < len(drawn):
            raise DomainError(say("the names of your patterns"), ", ".join(drawn), say("each its own"))
        ways = [way.name for way in self.ways]
        if len(set(ways)) < len(ways):
            raise DomainError(say("the ways to play through an output"), ", ".join(ways), say("one for each output"))

    @property
    def outputs(self) -> tuple[Output, ...]:
        """Everything that playing is heard through, the main one first; none where nothing is heard."""
        names = dict.fromkeys(name for name in (self.output, *self.also) if name != NOTHING)
        return tuple(replace(self.way(name), local_off=self.local_off and name != PIANO) for name in names)

    def way(self, name: str) -> Output:
        """How an output is played through."""
        return next((way for way in self.ways if way.name == name), Output(name))

    def with_way(self, output: Output) -> tuple[Output, ...]:
        """The ways with another one for an output; where it is the usual one it need not be kept."""
        others = tuple(way for way in self.ways if way.name != output.name)
        return others if output == Output(output.name) else (*others, output)

    def lesson(self) -> LessonSettings:
        """How lessons are given, without the rest."""
        return LessonSettings(**{name: getattr(self, name) for name in LessonSettings.__struct_fields__})

    def lesson_as(self, name: str) -> LessonSettings:
        """How lessons are given by a preset; raises DomainError, which names those there are, where it is unknown."""
        for preset in self.presets:
            if preset.name == name:
                return preset.settings
        names = ", ".join(preset.name for preset in self.presets)
        raise DomainError(
            say("the preset"),
            name,
            say("one of {names}", names=names) if names else say("saved in Settings first; there is none yet"),
        )

    @property
    def sheet_percent(self) -> int:
        """The size of the lesson sheet in percent: its own, and with it that of all text; 200 at most."""
        return min(LARGEST_ZOOM, self.zoom * self.text_scale // 100)

    @property
    def preset(self) -> str:
        """The name of the preset that the present figures are; empty where they are none's."""
        lesson = self.lesson()
        return next((preset.name for preset in self.presets if preset.settings == lesson), "")

    def with_preset(self, name: str) -> tuple[Preset, ...]:
        """The presets with the present figures under a name; raises DomainError for a name that cannot be."""
        return tuple(
            sorted((*self.without_preset(name), Preset(name, self.lesson())), key=lambda one: one.name.lower())
        )

    def without_preset(self, name: str) -> tuple[Preset, ...]:
        """The presets but one."""
        return tuple(preset for preset in self.presets if preset.name != name)

    def with_pattern(self, pattern: OwnPattern) -> tuple[OwnPattern, ...]:
        """The teacher's own patterns with one under its name, in the order of their names."""
        others = (own for own in self.own_patterns if own.name != pattern.name)
        return tuple(sorted((*others, pattern), key=lambda own: own.name.lower()))

    def with_recent(self, path: str) -> tuple[str, ...]:
        """The recent files with `path` at their head."""
        others = tuple(other for other in self.recent if other != path)
        return (path, *others)[:RECENT_FILES_KEPT]


def named_phrase(line: str) -> tuple[str, str]:
    """The name and the words of one of the teacher's phrases: ``name = words``; without a name the words are it."""
    name, sign, words = line.partition(" = ")
    return (name.strip(), words.strip()) if sign and words.strip() else (line.strip(), line.strip())
