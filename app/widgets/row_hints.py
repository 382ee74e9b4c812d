"""What a hint says about a thing on the lesson sheet: why this finger, why the chord lands here, what takes effort."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.widgets.place_words import beats_in_words
from core.drawing.shapes import Subject
from core.session.analysis import PartAnalysis, analyse_part
from core.session.cut_reasons import cut_reasons
from core.session.moments import moment_words
from core.session.suggested_reasons import suggestion_reason
from core.song.note import Hand
from core.song.song import Song
from core.teaching.left_hand_movement import placement_reasons
from core.teaching.naming import Names, Naming

CONTEXT = "RowHints"


def hint_about(song: Song, subject: Subject | None, naming: Naming = Naming.LETTERS) -> str:
    """A sentence or two about a subject of a row; empty where there is nothing to say."""
    if subject is None or not 1 <= subject.part <= len(song.parts):
        return ""
    analysis = analyse_part(song, subject.part, naming)
    names = Names.of_part(song, subject.part, naming)
    match subject.kind:
        case "note":
            return _about_note(song, subject, analysis, names)
        case "wire-end":
            return _translated("Drag it sideways to make the note longer or shorter")
        case "chord":
            return _about_chord(song, subject, analysis, names)
        case "landing":
            return _about_landing(song, subject, names)
        case "cut":
            return _about_cut(song, subject.part)
        case "part" | "ruler":
            return _about_part(analysis)
    return ""


def _translated(text: str, *values: object) -> str:
    text = QCoreApplication.translate(CONTEXT, text)
    for place, value in enumerate(values, 1):
        text = text.replace(f"%{place}", str(value))
    return text


def _about_note(song: Song, subject: Subject, analysis: PartAnalysis, names: Names) -> str:
    part, start = song.parts[subject.part - 1], song.part_onsets[subject.part - 1]
    if subject.index >= len(part.notes):
        return ""
    note, fingered = part.notes[subject.index], analysis.fingers[subject.index]
    hand = _translated("left hand") if note.hand is Hand.LEFT else _translated("right hand")
    length = beats_in_words(note.duration, song.metre_at(start + note.onset).beat_ticks)
    lines = [
        _translated(
            "%1, %2, %3, %4",
            names.shown(note.pitch.name),
            moment_words(song, start + note.onset),
            length,
            hand,
        ),
        _translated("Finger %1: %2", note.finger or fingered.finger, fingered.reason),
    ]
    beyond = analysis.beyond_reach[subject.index]
    if beyond is not None:
        lines.append(_translated("Beyond reach: %1; %2", beyond.trouble, beyond.alternative))
    return "\n".join(lines)


def _about_chord(song: Song, subject: Subject, analysis: PartAnalysis, names: Names) -> str:
    part, start = song.parts[subject.part - 1], song.part_onsets[subject.part - 1]
    if subject.index >= len(part.chords):
        return ""
    chord = part.chords[subject.index]
    lines = [_translated("%1, %2", names.chord_said(chord.symbol), moment_words(song, start + chord.onset))]
    if not chord.given:
        reason = suggestion_reason(part, subject.index, names)
        lines.append(_translated("Suggested: %1", reason))
    voicing = analysis.voicings[subject.index]
    if voicing:
        fingers = analysis.chord_fingers[subject.index]
        keys = ", ".join(
            _translated("%1 with %2", names.shown(pitch.name), finger)
            for pitch, finger in zip(voicing, fingers, strict=True)
        )
        lines.append(_translated("From the lowest key up: %1", keys))
        lines.append(placement_reasons(song, subject.part)[subject.index])
    if chord.given:
        lines.append(_translated("Double click to name it, drag to move its beginning"))
    else:
        lines.append(_translated("Double click and press Enter to confirm it, or type another name"))
    return "\n".join(lines)


def _about_landing(song: Song, subject: Subject, names: Names) -> str:
    part = song.parts[subject.part - 1]
    landing = next((found for found in analyse_part(song, subject.part).landings if found.chord == subject.index), None)
    if landing is None or landing.chord >= len(part.chords):
        return ""
    chord = names.chord_said(part.chords[landing.chord].symbol)
    moment = moment_words(song, song.part_onsets[subject.part - 1] + landing.onset)
    if landing.note is not None:
        name = names.shown(part.notes[landing.note].pitch.name)
        said = _translated("%1 lands with the %2, %3", chord, name, moment)
    else:
        said = _translated("%1 lands alone, %2, while the right hand holds or rests", chord, moment)
    return f"{said}\n{_translated('Drag it sideways; it stops at every note it can land with')}"


def _about_cut(song: Song, after: int) -> str:
    return "\n".join(cut_reasons(song, after)) if after < len(song.parts) else ""


def _about_part(analysis: PartAnalysis) -> str:
    lines = [_translated("Part %1, effort %2 of 100", analysis.number, round(analysis.effort.total))]
    lines.extend(dict.fromkeys(remark.text for remark in analysis.remarks[:3]))
    return "\n".join(lines)
