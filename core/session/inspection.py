"""Everything computed for a song, as one object of plain values for JSON.

Times and lengths are in quarter notes as numbers, in written order; pitches are a letter, accidentals and an
octave, with middle C as C4. A field that is not computed is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from functools import cached_property
from typing import Final

from core.session.analysis import PartAnalysis, analyse_part, song_cautions, song_effort
from core.session.key_choice import twelve_keys
from core.session.resembled import resembled
from core.session.running_order import USUAL_SETTINGS, teach_seconds
from core.session.script_check import check_script
from core.session.song_hands import NoteHand, doubtful_hands, song_hands
from core.session.timing import LessonSettings
from core.song.chord import ChordSymbol
from core.song.errors import DomainError
from core.song.key import Key
from core.song.metre import bar_at
from core.song.part import Aside, Part
from core.song.song import Song
from core.song.time import quarters_number
from core.song.wording import say
from core.teaching.left_hand_movement import OTHER_STYLE, Movement, movements, placement_reasons
from core.teaching.naming import Naming
from core.teaching.splitting import phrase_onsets
from core.theory.chord_naming import other_names
from core.theory.chord_symbols import write_chord
from core.theory.chord_tones import chord_tones
from core.theory.degrees import roman_before, scale_degree
from core.theory.key_changes import find_keys
from core.theory.key_finding import find_key

Json = dict[str, object]


def inspect_song(
    song: Song,
    only: Collection[str] | None = None,
    warnings: Sequence[str] = (),
    settings: LessonSettings = USUAL_SETTINGS,
) -> Json:
    """Everything computed for a song, or the fields named.

    Args:
        song: the song.
        only: names of the fields wanted, or None for all.
        warnings: sentences from reading the file.
        settings: how the teacher gives lessons: the time to teach, what notes are called in the words.

    Raises:
        DomainError: for a field that does not exist.
    """
    unknown = sorted(set(only or ()) - FIELDS.keys() - {"file", "error"})
    if unknown:
        raise DomainError(say("a field to inspect"), unknown[0], say("one of {names}", names=", ".join(FIELDS)))
    wanted = [name for name in FIELDS if only is None or name in only]
    inspected = _Inspected(song, tuple(warnings), settings)
    return {name: FIELDS[name](inspected) for name in wanted}


class _Inspected:
    """A song under inspection."""

    def __init__(self, song: Song, warnings: tuple[str, ...], settings: LessonSettings) -> None:
        self.song = song
        self.warnings = warnings
        self.settings = settings

    @cached_property
    def hands(self) -> tuple[tuple[NoteHand, ...], ...]:
        return song_hands(self.song)

    def analyses(self) -> list[PartAnalysis]:
        naming = self.settings.way_of_naming
        return [analyse_part(self.song, number, naming) for number in range(1, len(self.song.parts) + 1)]


def _sounding(song: Song) -> list[tuple[int, int, int]]:
    return [(onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes()]


def _key(inspected: _Inspected) -> Json:
    song = inspected.song
    change = song.keys[0]
    confidence = 1.0
    notes = _sounding(song)
    if notes:
        guess = find_key(notes)
        agrees = not change.given or guess.key == change.key
        confidence = guess.confidence if agrees else 1.0 - guess.confidence
    return {"name": change.key.plain, "given": change.given, "confidence": round(confidence, 3)}


def _key_changes(inspected: _Inspected) -> list[Json]:
    """The keys of the song one after another: those that the source states, else those that its notes speak for."""
    song = inspected.song
    notes = _sounding(song)
    if any(change.given for change in song.keys):
        starts = [change.onset for change in song.keys]
        stretches = [
            (change, [note for note in notes if change.onset <= note[0] and (until is None or note[0] < until)])
            for change, until in zip(song.keys, [*starts[1:], None], strict=True)
        ]
        guesses = [(change, find_key(stretch)) for change, stretch in stretches]
        changes = [
            (change.onset, change.key, guess.confidence if guess.key == change.key else 1.0 - guess.confidence)
            for change, guess in guesses
        ]
    else:
        found = find_keys(notes, [bar.onset for bar in song.bars])
        changes = [(onset, guess.key, guess.confidence) for onset, guess in found]
    return [
        {"onset": quarters_number(onset), "key": key.plain, "confidence": round(confidence, 3)}
        for onset, key, confidence in changes
    ]


def _notes(inspected: _Inspected) -> list[Json]:
    song = inspected.song
    placed = sorted(
        (
            (start + note.onset, note.pitch.midi, note, fingered, beyond, played)
            for start, part, analysis, hands in zip(
                song.part_onsets, song.parts, inspected.analyses(), inspected.hands, strict=True
            )
            for note, fingered, beyond, played in zip(
                part.notes, analysis.fingers, analysis.beyond_reach, hands, strict=True
            )
        ),
        key=lambda one: one[:2],
    )
    return [
        {
            "onset": quarters_number(onset),
            "duration": quarters_number(note.duration),
            "pitch": note.pitch.plain,
            "midi": midi,
            "degree": scale_degree(note.pitch, song.key_at(onset)),
            "hand": note.hand.value,
            "hand_given": note.hand_given,
            "confidence": played.confidence,
            "hand_reason": played.reason,
            **({"doubtful": True} if played.is_doubtful else {}),
            "finger": fingered.finger,
            "finger_given": note.finger is not None,
            "reason": fingered.reason,
            "melody": note.melody,
            **({"beyond_reach": {"trouble": beyond.trouble, "alternative": beyond.alternative}} if beyond else {}),
        }
        for onset, midi, note, fingered, beyond, played in placed
    ]


def _chords(inspected: _Inspected) -> list[Json]:
    song = inspected.song
    found: list[Json] = []
    for start, part, analysis in zip(song.part_onsets, song.parts, inspected.analyses(), strict=True):
        ways, reasons = movements(song, analysis.number), placement_reasons(song, analysis.number)
        nexts = _chords_after(song, analysis.number)
        for chord, voicing, fingers, way, reason, after in zip(
            part.chords, analysis.voicings, analysis.chord_fingers, ways, reasons, nexts, strict=True
        ):
            key = song.key_at(start + chord.onset)
            found.append(
                {
                    "onset": quarters_number(start + chord.onset),
                    "duration": quarters_number(chord.duration),
                    "symbol": write_chord(chord.symbol),
                    "roman": roman_before(chord.symbol, after, key),
                    "tones": [name.plain for name in chord_tones(chord.symbol)],
                    "degrees": [scale_degree(name, key) for name in chord_tones(chord.symbol)],
                    "voicing": [pitch.plain for pitch in voicing],
                    "fingers": list(fingers),
                    "given": chord.given,
                    "reason": reason,
                    **_movement(way),
                    **_also(chord.symbol, key, after),
                    **({"continued": True} if chord.continued else {}),
                }
            )
    return found


def _chords_after(song: Song, number: int) -> list[ChordSymbol | None]:
    """What follows each chord of a part, in the part or at the beginning of the next."""
    symbols = [chord.symbol for chord in song.part(number).chords]
    beyond = song.part(number + 1).chords if number < len(song.parts) else ()
    following = next((chord.symbol for chord in beyond if not chord.continued), None)
    return [*symbols[1:], following] if symbols else []


def _also(symbol: ChordSymbol, key: Key, after: ChordSymbol | None) -> Json:
    """Other names that the tones of a chord may have."""
    others = other_names(symbol, key, after)
    return {"also": [{"symbol": write_chord(one.symbol), "reason": one.reason} for one in others]} if others else {}


def _movement(way: Movement | None) -> Json:
    """How the hand comes to a chord: semitones moved, keys kept, and what the other style would move."""
    if way is None:
        return {}
    kept = [name.plain for name in way.kept]
    other = OTHER_STYLE[way.style]
    return {"movement": {"moved": way.moved, "kept": kept, other: way.otherwise, "sentence": way.sentence}}


def _landings(inspected: _Inspected) -> list[Json]:
    song = inspected.song
    return [
        {
            "onset": quarters_number(start + landing.onset),
            "chord": write_chord(part.chords[landing.chord].symbol),
            "with": None if landing.note is None else part.notes[landing.note].pitch.plain,
            "nth": landing.nth,
        }
        for start, part, analysis in zip(song.part_onsets, song.parts, inspected.analyses(), strict=True)
        for landing in analysis.landings
    ]


def _said(part: Part, analysis: PartAnalysis, kind: str) -> str:
    """The teacher's own words where there are some, else the computed ones."""
    own = part.teaching.words_for(kind)
    return own.text if own is not None else analysis.words_of(kind)


def _aside(start: int, aside: Aside) -> Json:
    return {"onset": quarters_number(start + aside.onset), "kind": aside.kind, "text": aside.text}


def _parts(inspected: _Inspected) -> list[Json]:
    song, naming = inspected.song, inspected.settings.way_of_naming
    return [
        {
            "number": analysis.number,
            "onset": quarters_number(start),
            "duration": quarters_number(part.duration),
            "taught": part.teaching.taught,
            "effort": round(analysis.effort.total, 1),
            "causes": {
                name: round(getattr(analysis.effort.causes, name), 1)
                for name in ("reach", "travel", "black_keys", "rhythm", "coordination", "memory", "speed")
            },
            "reasons": [reason.text for reason in analysis.effort.reasons],
            "teach_seconds": round(teach_seconds(song, analysis.number, inspected.settings), 1),
            "right_hand": _said(part, analysis, "right_hand"),
            "left_hand": _said(part, analysis, "left_hand"),
            "together": _said(part, analysis, "together"),
            **({"asides": [_aside(start, aside) for aside in part.asides]} if part.asides else {}),
            "script_check": [
                {"kind": words.kind, "start": finding.start, "end": finding.end, "sentence": finding.sentence}
                for words in part.teaching.words
                for finding in check_script(song, analysis.number, words.kind, words.text, naming)
            ],
            "to_look_at": [
                *analysis.to_look_at,
                *doubtful_hands(song, analysis.number, inspected.hands[analysis.number - 1]),
            ],
            "positions": [
                {
                    "onset": quarters_number(start + position.onset),
                    "hand": hand.value,
                    "thumb": position.thumb.plain,
                    "little": position.little.plain,
                    "words": position.whole_words,
                }
                for hand, positions in analysis.positions
                for position in positions
            ],
            **_resembles(song, analysis.number, naming),
        }
        for start, part, analysis in zip(song.part_onsets, song.parts, inspected.analyses(), strict=True)
    ]


def _resembles(song: Song, number: int, naming: Naming) -> Json:
    found = resembled(song, number, tuple(range(1, number)), naming)
    if found is None:
        return {}
    return {"resembles": {"part": found.part, "how": found.how, "sentence": found.sentence}}


def _cautions(inspected: _Inspected) -> list[Json]:
    song = inspected.song
    return [
        {
            "onset": quarters_number(caution.onset),
            "duration": quarters_number(caution.end - caution.onset),
            "bars": [bar_at(song.bars, caution.onset).number, bar_at(song.bars, caution.end - 1).number],
            "hand": caution.hand.value,
            "kind": caution.kind,
            "sentence": sentence,
        }
        for caution, sentence in song_cautions(song)
    ]


def _warnings(inspected: _Inspected) -> list[str]:
    return list(inspected.warnings)


FIELDS: Final[dict[str, Callable[[_Inspected], object]]] = {
    "title": lambda inspected: inspected.song.title,
    "key": _key,
    "key_changes": _key_changes,
    "metre": lambda inspected: str(inspected.song.metre),
    "tempo": lambda inspected: {"bpm": round(inspected.song.tempo, 3), "given": inspected.song.tempos[0].given},
    "length": lambda inspected: quarters_number(inspected.song.length),
    "playing_order": lambda inspected: list(inspected.song.playing_order),
    "notes": _notes,
    "chords": _chords,
    "landings": _landings,
    "phrases": lambda inspected: [quarters_number(onset) for onset in phrase_onsets(inspected.song)],
    "parts": _parts,
    "cautions": _cautions,
    "effort": lambda inspected: round(song_effort(inspected.song).total, 1),
    "keys": lambda inspected: [
        {
            "key": choice.key.plain,
            "effort": round(choice.effort, 1),
            "best": choice.is_best,
            "own": choice.is_own,
            "reason": choice.reason,
        }
        for choice in twelve_keys(inspected.song)
    ],
    "warnings": _warnings,
}
"""Every field of an inspection but the file's name, in order."""
