"""Reading a lesson file: JSON in, a song out, with every fault named by its place."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, TypeVar

import msgspec

from core.formats.lesson_fields import MEND, Fields
from core.song.chord import ROOT_POSITION, VOICING_STYLES, Chord
from core.song.errors import BrokenFileError, ForeignFileError, NewerFileError
from core.song.hand_profile import HandProfile
from core.song.key import Key, KeyChange
from core.song.metre import Metre, MetreChange
from core.song.note import ORNAMENTS, Hand, Note
from core.song.part import Aside, OwnWords, Part, Teaching
from core.song.pattern_grid import Grid, OwnPattern
from core.song.phrase import KINDS_OF_SEGMENTS, Phrase
from core.song.pitch import Pitch
from core.song.song import USUAL_STANDING, Song
from core.song.standing import Standing
from core.song.tempo import DEFAULT_TEMPO, TempoChange
from core.song.wording import say
from core.theory.chord_symbols import parse_chord

FORMAT: Final = "phrasebench lesson"
VERSION: Final = 1

Change = TypeVar("Change")
Document = dict[str, object]
Migrator = Callable[[Document], Document]

MIGRATORS: Final[tuple[Migrator, ...]] = ()
"""The last one brings version VERSION − 1 to VERSION, the one before it VERSION − 2 to VERSION − 1, and so on."""

_BYTE: Final = re.compile(r"\(byte (\d+)\)")
KINDS_OF_WORDS: Final = ("right_hand", "left_hand", "together")


def read_lesson(name: str, data: bytes, migrators: tuple[Migrator, ...] = MIGRATORS) -> Song:
    """The song of a lesson file.

    Args:
        name: the file's name, for messages.
        data: its bytes.
        migrators: how older versions become the present one, the newest last.

    Raises:
        ForeignFileError: no lesson file at all.
        BrokenFileError: damaged or cut short; names line and column, or the field.
        NewerFileError: written by a later version of Phrasebench.
    """
    document = migrated(name, decoded(name, data), migrators)
    return _song(Fields(name, "$", document))


def decoded(name: str, data: bytes) -> Document:
    """The JSON object of a lesson file whose `format` has been found right."""
    text = data.removeprefix(b"\xef\xbb\xbf")
    if not text.strip():
        raise BrokenFileError(
            name, say("line {line}", line=1), say("the file is empty"), say("open a copy kept elsewhere")
        )
    foreign = ForeignFileError(
        name, "", say("this is not a Phrasebench lesson"), say("open it in the program that made it")
    )
    if text.lstrip()[:1] != b"{":
        raise foreign
    try:
        document = msgspec.json.decode(text)
    except UnicodeDecodeError as error:
        # The position is counted inside one text of the file, so the line is looked for afresh.
        raise BrokenFileError(name, _bad_character(text), say("a character is not UTF-8"), say(MEND)) from error
    except RecursionError as error:
        raise BrokenFileError(name, "", say("brackets are nested without end"), say(MEND)) from error
    except msgspec.DecodeError as error:
        found = _BYTE.search(str(error))
        if found is None:
            place, trouble = _line_and_column(text, len(text)), say("the file is cut short")
        else:
            place, trouble = _line_and_column(text, int(found[1])), say("the JSON text makes no sense here")
        raise BrokenFileError(name, place, trouble, say(MEND)) from error
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise foreign
    return document


def migrated(name: str, document: Document, migrators: tuple[Migrator, ...]) -> Document:
    """The document brought to the present version."""
    version = document.get("version")
    if isinstance(version, bool) or not isinstance(version, int):
        raise BrokenFileError(name, "$.version", say("the version of the lesson format is missing"), say(MEND))
    if version > VERSION:
        trouble = say(
            "it was written by a later Phrasebench (lesson format {version}, here {known})",
            version=version,
            known=VERSION,
        )
        raise NewerFileError(name, "$.version", trouble, say("open it with that version, or update this one"))
    steps = VERSION - version
    if steps > len(migrators):
        raise BrokenFileError(
            name, "$.version", say("there never was a lesson format {version}", version=version), say(MEND)
        )
    for migrate in migrators[len(migrators) - steps :]:
        document = migrate(document)
    return {**document, "version": VERSION}


def _line_and_column(text: bytes, offset: int) -> str:
    before = text[:offset]
    column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
    line = before.count(b"\n") + 1
    return say("line {line}, column {column}", line=line, column=column)


def _bad_character(text: bytes) -> str:
    try:
        text.decode("utf-8")
    except UnicodeDecodeError as error:
        return _line_and_column(text, error.start)
    return ""


def _song(fields: Fields) -> Song:
    fields.text("format")
    fields.whole_number("version")
    extra: list[tuple[str, str]] = []
    keys = tuple(_changes(fields, "keys", _key_change, extra))
    metres = tuple(_changes(fields, "metres", _metre_change, extra))
    tempos = tuple(_changes(fields, "tempos", _tempo_change, extra))
    reach = fields.group("hands")
    hands = fields.checked(
        "hands", lambda: HandProfile(reach.whole_number("right_reach", 12), reach.whole_number("left_reach", 12))
    )
    extra.extend(reach.unread("hands/"))
    standing = _standing(fields, extra)
    patterns = _own_patterns(fields, extra)
    phrases = tuple(_changes(fields, "phrases", _phrase, extra)) if fields.has("phrases") else ()
    title, section = fields.text("title"), fields.text("section", "")
    composer, rights = fields.text("composer", ""), fields.text("rights", "")
    pickup = fields.time("pickup", 0)
    order = tuple(_part_numbers(fields))
    parts = tuple(_part(part) for part in fields.groups("parts"))
    return fields.checked(
        "",
        lambda: Song(
            title=title,
            parts=parts,
            keys=keys,
            metres=metres,
            tempos=tempos,
            pickup=pickup,
            playing_order=order,
            section=section,
            composer=composer,
            rights=rights,
            hands=hands,
            standing=standing,
            patterns=patterns,
            phrases=phrases,
            extra=(*fields.unread(), *extra),
        ),
    )


def _own_patterns(fields: Fields, extra: list[tuple[str, str]]) -> tuple[OwnPattern, ...]:
    """Own left-hand patterns; the file has a row for each grid, and grids of one name are one pattern."""
    if not fields.has("patterns"):
        return ()
    by_name: dict[str, list[Grid]] = {}
    for name, grid in _changes(fields, "patterns", _named_grid, extra):
        by_name.setdefault(name, []).append(grid)
    return fields.checked("patterns", lambda: tuple(OwnPattern(name, tuple(grids)) for name, grids in by_name.items()))


def _phrase(fields: Fields) -> Phrase:
    kind, text = fields.text("kind"), fields.text("text")
    return fields.checked("text" if kind in KINDS_OF_SEGMENTS else "kind", lambda: Phrase(kind, text))


def _named_grid(fields: Fields) -> tuple[str, Grid]:
    name, cells = fields.text("name"), fields.text("cells")
    division, compound = fields.whole_number("division", 1), fields.flag("compound", False)
    return name, fields.checked("cells", lambda: Grid.parse(cells, division, compound=compound))


def _standing(fields: Fields, extra: list[tuple[str, str]]) -> Standing:
    if not fields.has("standing"):
        return USUAL_STANDING
    group = fields.group("standing")
    state, cleared = group.text("state", USUAL_STANDING.state), group.flag("rights_cleared", False)
    asked_by, asked_on = group.text("asked_by", ""), group.text("asked_on", "")
    extra.extend(group.unread("standing/"))
    return fields.checked("standing", lambda: Standing(state, asked_by, asked_on, cleared))


def _changes(
    fields: Fields, field: str, read: Callable[[Fields], Change], extra: list[tuple[str, str]]
) -> list[Change]:
    changes = []
    for index, group in enumerate(fields.groups(field)):
        changes.append(read(group))
        extra.extend(group.unread(f"{field}/{index}/"))
    return changes


def _key_change(fields: Fields) -> KeyChange:
    onset, text, given = fields.time("onset", 0), fields.text("key"), fields.flag("given", True)
    return fields.checked("key", lambda: KeyChange(onset, Key.parse(text), given))


def _metre_change(fields: Fields) -> MetreChange:
    onset, text = fields.time("onset", 0), fields.text("metre")
    return fields.checked("metre", lambda: MetreChange(onset, Metre.parse(text)))


def _tempo_change(fields: Fields) -> TempoChange:
    onset, bpm, given = fields.time("onset", 0), fields.number("bpm", DEFAULT_TEMPO), fields.flag("given", True)
    return fields.checked("bpm", lambda: TempoChange(onset, bpm, given))


def _part_numbers(fields: Fields) -> list[int]:
    numbers = []
    for place, number in fields.items("playing_order", ()):
        if isinstance(number, bool) or not isinstance(number, int):
            raise fields.broken(place.removeprefix(f"{fields.place}."), say("a part's number is wanted"))
        numbers.append(number)
    return numbers


def _part(fields: Fields) -> Part:
    extra: list[tuple[str, str]] = []
    words = tuple(_changes(fields, "words", _own_words, extra)) if fields.has("words") else ()
    tempo = fields.number("teaching_tempo") if fields.has("teaching_tempo") else None
    teaching = fields.checked(
        "teaching_tempo",
        lambda: Teaching(
            taught=fields.flag("taught", True),
            pattern=fields.text("pattern", "block"),
            harmony=fields.text("harmony", "none"),
            tempo=None if tempo is None else TempoChange(0, tempo).bpm,
            words=words,
            voicing=_voicing(fields) or ROOT_POSITION,
            rhythm=fields.text("rhythm", "written"),
            pedal=fields.flag("pedal", False),
        ),
    )
    duration = fields.time("duration")
    # Written by hand, notes and chords may stand in any order; those that begin together keep theirs.
    chords = tuple(sorted((_chord(chord) for chord in fields.groups("chords", ())), key=lambda chord: chord.onset))
    notes = tuple(sorted((_note(note) for note in fields.groups("notes", ())), key=lambda note: note.onset))
    asides = tuple(sorted((_aside(aside) for aside in fields.groups("asides", ())), key=lambda aside: aside.onset))
    return fields.checked("", lambda: Part(duration, notes, chords, teaching, (*fields.unread(), *extra), asides))


def _aside(fields: Fields) -> Aside:
    onset, text, kind = fields.time("onset"), fields.text("text"), fields.text("kind", KINDS_OF_WORDS[0])
    if kind not in KINDS_OF_WORDS:
        raise fields.broken("kind", say("right_hand, left_hand or together is wanted"))
    return Aside(onset, text, kind, fields.unread())


def _voicing(fields: Fields) -> str | None:
    if not fields.has("voicing"):
        return None
    style = fields.text("voicing")
    if style not in VOICING_STYLES:
        raise fields.broken("voicing", say("root or nearest is wanted"))
    return style


def _own_words(fields: Fields) -> OwnWords:
    kind, text, review = fields.text("kind"), fields.text("text"), fields.flag("review", False)
    if kind not in KINDS_OF_WORDS:
        raise fields.broken("kind", say("right_hand, left_hand or together is wanted"))
    return OwnWords(kind, text, review)


def _chord(fields: Fields) -> Chord:
    onset, duration, text = fields.time("onset"), fields.time("duration"), fields.text("symbol")
    continued, voicing, given = fields.flag("continued", False), _voicing(fields), fields.flag("given", True)
    symbol = fields.checked("symbol", lambda: parse_chord(text))
    return fields.checked("", lambda: Chord(onset, duration, symbol, continued, fields.unread(), voicing, given))


def _note(fields: Fields) -> Note:
    onset, duration, text = fields.time("onset"), fields.time("duration"), fields.text("pitch")
    hand = fields.text("hand", Hand.RIGHT.value)
    if hand not in (Hand.RIGHT.value, Hand.LEFT.value):
        raise fields.broken("hand", say("right or left is wanted"))
    given, melody = fields.flag("hand_given", True), fields.flag("melody", hand == Hand.RIGHT.value)
    finger = fields.whole_number("finger") if fields.has("finger") else None
    pitch = fields.checked("pitch", lambda: Pitch.parse(text))
    ornament = fields.text("ornament", "")
    if ornament not in ORNAMENTS:
        raise fields.broken("ornament", say("grace_above, grace_below or turn is wanted"))
    return fields.checked(
        "", lambda: Note(onset, duration, pitch, Hand(hand), given, melody, finger, fields.unread(), ornament)
    )
