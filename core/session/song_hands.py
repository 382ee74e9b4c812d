"""Which hands of a song are certain, which are doubtful and why, told from all its notes together."""

from __future__ import annotations

from msgspec import Struct

from core.song.metre import bar_at
from core.song.note import Hand
from core.song.song import Song
from core.song.wording import say, say_counted, to_say
from core.teaching.number_words import listed

GIVEN = to_say("The hand is given.")
TUNE = to_say("It belongs to a tune for one hand.")
OTHERWISE = to_say("The notes around speak rather for the other hand.")


class NoteHand(Struct, frozen=True):
    """How certain a note's hand is.

    Attributes:
        confidence: 0 (a toss-up, or the notes speak for the other hand) to 1.
        is_doubtful: whether the teacher should look at it.
        reason: a sentence.
    """

    confidence: float
    is_doubtful: bool
    reason: str


def song_hands(song: Song) -> tuple[tuple[NoteHand, ...], ...]:
    """How certain the hand of each note is, part by part, in the order of the part's notes.

    Hands that the source or the teacher gives are certain, and so is a song that only one hand plays.
    """
    placed = [
        (start + note.onset, note.pitch.midi, number, index, note)
        for number, (start, part) in enumerate(zip(song.part_onsets, song.parts, strict=True))
        for index, note in enumerate(part.notes)
    ]
    placed.sort(key=lambda one: one[:4])
    certain = NoteHand(1.0, is_doubtful=False, reason=say(GIVEN))
    found = [[certain] * len(part.notes) for part in song.parts]
    guessed = [place for place, (*_, note) in enumerate(placed) if not note.hand_given]
    if not guessed:
        return tuple(map(tuple, found))
    if all(note.hand is Hand.RIGHT for *_, note in placed):
        for place in guessed:
            _, _, number, index, _ = placed[place]
            found[number][index] = NoteHand(1.0, is_doubtful=False, reason=say(TUNE))
        return tuple(map(tuple, found))
    from core.teaching.hand_reasons import hand_reasons  # slow to load, and seldom needed for a lesson that is made
    from core.teaching.hands import assign_hands

    notes = [(onset, note.duration, midi) for onset, midi, _, _, note in placed]
    given = {place: note.hand for place, (*_, note) in enumerate(placed) if note.hand_given}
    guesses = assign_hands(notes, given, song.hands)
    reasons = hand_reasons(notes, [note.hand for *_, note in placed], guesses)
    for place in guessed:
        _, _, number, index, note = placed[place]
        guess = guesses[place]
        if guess.hand is note.hand:
            found[number][index] = NoteHand(guess.confidence, guess.is_doubtful, reasons[place])
        else:
            found[number][index] = NoteHand(0.0, is_doubtful=True, reason=say(OTHERWISE))
    return tuple(map(tuple, found))


def doubtful_hands(song: Song, number: int, hands: tuple[NoteHand, ...]) -> tuple[str, ...]:
    """A thing to look at where hands of a part are doubtful: one sentence that names the bars, or none.

    Args:
        song: the song.
        number: part number from 1.
        hands: the part's own from `song_hands`.
    """
    start = song.part_onsets[number - 1]
    doubtful = [note for note, hand in zip(song.part(number).notes, hands, strict=True) if hand.is_doubtful]
    if not doubtful:
        return ()
    bars = sorted({bar_at(song.bars, start + note.onset).number for note in doubtful})
    remark = say_counted(
        "which hand plays one note is doubtful; say it where it is wrong.",
        "which hand plays {count} notes is doubtful; say it where it is wrong.",
        len(doubtful),
    )
    if len(bars) == 1:
        return (say("Bar {bar}: {remark}", bar=bars[0], remark=remark),)
    return (say("Bars {bars}: {remark}", bars=_bars(bars), remark=remark),)


def _bars(bars: list[int]) -> str:
    """Bars in figures, those in a row joined."""
    rows: list[list[int]] = []
    for bar in bars:
        if rows and rows[-1][-1] == bar - 1:
            rows[-1][1:] = [bar]
        else:
            rows.append([bar])
    return listed(["–".join(map(str, row)) for row in rows])
