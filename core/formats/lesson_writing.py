"""Writing a lesson file: JSON laid out for readers and for comparing versions, one note and one chord a line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.formats.lesson_fields import json_text, quarters_text
from core.formats.lesson_reading import FORMAT, VERSION
from core.song.chord import ROOT_POSITION, Chord
from core.song.note import Extra, Hand, Note
from core.song.part import Aside, OwnWords, Part
from core.song.pattern_grid import OwnPattern
from core.song.phrase import Phrase
from core.song.song import USUAL_STANDING, Song
from core.song.standing import Standing
from core.theory.chord_symbols import write_chord

Field = tuple[str, str]
"""A field's name and its JSON text."""


def write_lesson(song: Song) -> bytes:
    """The lesson file of a song, in UTF-8."""
    nested, plain = _nested(song.extra, ("keys/", "metres/", "tempos/", "hands/", "patterns/", "standing/"))
    keys = [
        (("onset", quarters_text(change.onset)), ("key", json_text(change.key.plain)), *_not_given(change.given))
        for change in song.keys
    ]
    metres = [
        (("onset", quarters_text(change.onset)), ("metre", json_text(str(change.metre)))) for change in song.metres
    ]
    tempos = [
        (("onset", quarters_text(change.onset)), ("bpm", _number_text(change.bpm)), *_not_given(change.given))
        for change in song.tempos
    ]
    reach: list[Field] = [
        ("right_reach", str(song.hands.right_reach)),
        ("left_reach", str(song.hands.left_reach)),
        *((name.removeprefix("hands/"), text) for name, text in nested if name.startswith("hands/")),
    ]
    fields: list[Field] = [
        ("format", json_text(FORMAT)),
        ("version", str(VERSION)),
        ("title", json_text(song.title)),
        *_said("section", song.section),
        *_said("composer", song.composer),
        *_said("rights", song.rights),
        ("keys", _rows("keys", keys, nested, 2)),
        ("metres", _rows("metres", metres, nested, 2)),
        ("tempos", _rows("tempos", tempos, nested, 2)),
        ("pickup", quarters_text(song.pickup)),
        ("playing_order", json_text(song.playing_order)),
        ("hands", _line(reach)),
        *_standing(song.standing, nested),
        *_own_patterns(song.patterns, nested),
        *_phrases(song.phrases, nested),
        *plain,
        ("parts", _list([_part(part) for part in song.parts], 2)),
    ]
    return (_group(fields, 0) + "\n").encode("utf-8")


def _own_patterns(patterns: Sequence[OwnPattern], nested: Extra) -> list[Field]:
    rows = [
        [
            ("name", json_text(pattern.name)),
            ("cells", json_text(grid.text)),
            ("division", str(grid.division)),
            *([("compound", "true")] if grid.compound else []),
        ]
        for pattern in patterns
        for grid in pattern.grids
    ]
    return [("patterns", _rows("patterns", rows, nested, 2))] if rows else []


def _phrases(phrases: Sequence[Phrase], nested: Extra) -> list[Field]:
    rows = [[("kind", json_text(phrase.kind)), ("text", json_text(phrase.text))] for phrase in phrases]
    return [("phrases", _rows("phrases", rows, nested, 2))] if rows else []


def _standing(standing: Standing, nested: Extra) -> list[Field]:
    fields: list[Field] = [
        ("state", json_text(standing.state)),
        *_said("asked_by", standing.asked_by),
        *_said("asked_on", standing.asked_on),
        *([("rights_cleared", "true")] if standing.rights_cleared else []),
        *((name.removeprefix("standing/"), text) for name, text in nested if name.startswith("standing/")),
    ]
    return [] if standing == USUAL_STANDING and len(fields) == 1 else [("standing", _line(fields))]


def _part(part: Part) -> str:
    nested, plain = _nested(part.extra, ("words/",))
    teaching = part.teaching
    fields: list[Field] = [("duration", quarters_text(part.duration))]
    if not teaching.taught:
        fields.append(("taught", "false"))
    fields.append(("pattern", json_text(teaching.pattern)))
    if teaching.voicing != ROOT_POSITION:
        fields.append(("voicing", json_text(teaching.voicing)))
    if teaching.rhythm != "written":
        fields.append(("rhythm", json_text(teaching.rhythm)))
    if teaching.harmony != "none":
        fields.append(("harmony", json_text(teaching.harmony)))
    if teaching.pedal:
        fields.append(("pedal", "true"))
    if teaching.tempo is not None:
        fields.append(("teaching_tempo", _number_text(teaching.tempo)))
    if teaching.words:
        fields.append(("words", _rows("words", [_own_words(words) for words in teaching.words], nested, 6)))
    if part.asides:
        fields.append(("asides", _list([_line(_aside(aside)) for aside in part.asides], 6)))
    fields.extend(plain)
    fields.append(("chords", _list([_line(_chord(chord)) for chord in part.chords], 6)))
    fields.append(("notes", _list([_line(_note(note)) for note in part.notes], 6)))
    return _group(fields, 4)


def _own_words(words: OwnWords) -> list[Field]:
    fields = [("kind", json_text(words.kind)), ("text", json_text(words.text))]
    return [*fields, ("review", "true")] if words.review else fields


def _aside(aside: Aside) -> list[Field]:
    fields = [("onset", quarters_text(aside.onset)), ("text", json_text(aside.text))]
    return [*fields, *([("kind", json_text(aside.kind))] if aside.kind != "right_hand" else []), *aside.extra]


def _chord(chord: Chord) -> list[Field]:
    fields = [
        ("onset", quarters_text(chord.onset)),
        ("duration", quarters_text(chord.duration)),
        ("symbol", json_text(write_chord(chord.symbol))),
    ]
    if chord.continued:
        fields.append(("continued", "true"))
    if chord.voicing is not None:
        fields.append(("voicing", json_text(chord.voicing)))
    if not chord.given:
        fields.append(("given", "false"))
    return [*fields, *chord.extra]


def _note(note: Note) -> list[Field]:
    fields = [
        ("onset", quarters_text(note.onset)),
        ("duration", quarters_text(note.duration)),
        ("pitch", json_text(note.pitch.plain)),
        ("hand", json_text(note.hand.value)),
    ]
    if not note.hand_given:
        fields.append(("hand_given", "false"))
    if note.melody is not (note.hand is Hand.RIGHT):
        fields.append(("melody", json_text(note.melody)))
    if note.finger is not None:
        fields.append(("finger", str(note.finger)))
    if note.ornament:
        fields.append(("ornament", json_text(note.ornament)))
    return [*fields, *note.extra]


def _not_given(given: bool) -> list[Field]:
    return [] if given else [("given", "false")]


def _said(name: str, text: str) -> list[Field]:
    return [(name, json_text(text))] if text else []


def _number_text(number: float) -> str:
    return json_text(int(number) if number == int(number) else number)


def _nested(extra: Extra, prefixes: tuple[str, ...]) -> tuple[Extra, Extra]:
    """Unknown fields that came from groups inside this one, and those of its own."""
    nested = tuple(pair for pair in extra if pair[0].startswith(prefixes))
    return nested, tuple(pair for pair in extra if not pair[0].startswith(prefixes))


def _rows(name: str, rows: Sequence[Iterable[Field]], nested: Extra, margin: int) -> str:
    lines = []
    for index, row in enumerate(rows):
        prefix = f"{name}/{index}/"
        unknown = ((field.removeprefix(prefix), text) for field, text in nested if field.startswith(prefix))
        lines.append(_line((*row, *unknown)))
    return _list(lines, margin)


def _line(fields: Iterable[Field]) -> str:
    return "{" + ", ".join(f"{json_text(name)}: {text}" for name, text in fields) + "}"


def _group(fields: Iterable[Field], margin: int) -> str:
    inner = " " * (margin + 2)
    lines = ",\n".join(f"{inner}{json_text(name)}: {text}" for name, text in fields)
    return f"{{\n{lines}\n{' ' * margin}}}"


def _list(items: Sequence[str], margin: int) -> str:
    if not items:
        return "[]"
    inner = " " * (margin + 2)
    return "[\n" + ",\n".join(inner + item for item in items) + f"\n{' ' * margin}]"
