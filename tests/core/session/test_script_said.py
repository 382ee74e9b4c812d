"""The running order, its phrases, what the script check finds and how playing went are said in the language chosen."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from core.edits.set_phrase import set_phrase
from core.performance.following import Verdict
from core.session import script_facts, script_reading
from core.session.asides import PlacedAside, aside_line
from core.session.lesson_settings import LessonSettings
from core.session.playing_told import PlayedNote, playing_told
from core.session.running_order import Segment, running_order
from core.session.script_check import check_script, script_warnings
from core.session.segment_playing import segment_numbered, segment_schedule
from core.song.errors import PlanError
from core.song.note import Hand
from core.song.part import OwnWords
from core.song.phrase import FIELDS, KINDS_OF_SEGMENTS
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.teaching.naming import Naming
from tests.helpers.drawn_songs import drawn_song, part
from tests.helpers.marked_language import CLOSE, OPEN, MarkedLanguage, speaking
from tests.helpers.open_places import open_places, words_unsaid
from tests.helpers.songs import DEMO_SONGS, night_ferry

SESSION = Path(script_reading.__file__).parent
GIVEN = {"Night", "Ferry", "verse", "The", "Lamplighter", "Waltz", "Heron", "at", "the", "Sluice"}
"""What the songs are called."""
SHOWN_CHORD = re.compile(r"[A-GivxIVX]+(?:maj|min|dim|aug|sus|add|m|Maj)*")
PLAYS = replace(night_ferry().part(1).teaching, harmony="thirds", rhythm="early", pedal=True)
FAULTS: dict[str, tuple[tuple[int, str], ...]] = {
    "right_hand": (
        (1, "Start on the second F above middle C, up a fourth to G, then A and B, A for three beats, G, F sharp."),
        (1, "E, G for two beats, A, B. Wait two beats, then A, G."),
        (1, "E, down a third to G, G flat, A three times, the same twice more: B, B, B. It has nine notes."),
        (1, "E, G, A. Two notes: B, A, G. Most notes here last three beats. F sharp."),
        (2, "The first four notes go long, short: two beats, then one beat. C sharp, B, A, A, B, B, A, G."),
        (2, "C sharp, B, A, A, wait three beats, then B, B, A, G."),
        (2, "C sharp, up a step to B, A, back up to A, B. Wait three beats. B, A, G."),
        (2, "C sharp, B, A, back down to A, B, B, A, G."),
        (3, "F sharp, A, D, A, back down to F sharp, G, F sharp, E. F sharp, D sharp, up to E."),
    ),
    "left_hand": (
        (1, "E minor for three beats: E, F, G, G, up from the second E below middle C."),
        (2, "A major with A at the bottom, then D minor, then G major. It has five chords. Keep C, move A to B."),
        (2, "Three chords, each for four beats. A major, G flat major. Every finger moves one step up."),
        (
            3,
            "Wait two beats. D major: D, F sharp. Every finger moves one step down. The left hand rests for two beats.",
        ),
        (2, "A major with C sharp at the bottom. G major: G, B, D. Every finger moves one step up."),
        (2, "A major. G major: G, B, D. Keep A, move G to A."),
        (2, "B double flat major for eight beats. G major."),
        (3, "D major: D, A. E flat minor for a beat and a half: E flat, G flat."),
        (3, "D major. E minor. Every finger moves one step down."),
        (3, "D major. D major."),
        (3, "E minor. D major. E minor."),
        (3, "Two chords, each for eight beats: D major. E minor."),
    ),
    "together": (
        (1, "E minor lands alone."),
        (2, "A major lands with the G, then G major with the last C sharp."),
        (2, "A major lands with the last A. G major lands alone, three beats after the C sharp."),
        (2, "G flat major lands with the D flat."),
        (3, "D major lands with the second F sharp, E minor with the F sharp on beat two of bar 6."),
        (2, "A major lands with the C sharp. Then G major lands alone, two beats before the last B."),
        (2, "A major lands with the C sharp. Then G major lands alone, one beat before the first B."),
        (3, "D major lands with the G flat, then E minor with the E."),
        (3, "D major lands with the first F sharp."),
        (3, "D major is still down from part 1. E minor lands alone while you hold the A, half a beat before the G."),
    ),
}
"""Words with faults in them, for parts of Night Ferry."""
HELD_FAULTS = (
    "C major is still down from part 3. F major lands with the E. Then G major lands alone, one beat before the E.",
)
"""The same for both hands of a part that begins under a chord held from part 1, and ends with one alone."""


CHECKING = ("script_chords", "script_facts", "script_left_hand", "script_right_hand", "script_together")
CHECKED = {
    argument.value
    for name in CHECKING
    for node in ast.walk(ast.parse((SESSION / f"{name}.py").read_text(encoding="utf-8")))
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("say", "say_counted", "to_say")
    for argument in node.args
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str)
}
"""Every text that the script check says."""
NAMED = set(
    (
        "a step third fourth half beat beats and once no one two three four seven eight first second "
        "sharp flat major minor"
    ).split()
)
"""Words of the names, numbers, intervals and lengths that fill the places."""


def unsaid(texts: list[str]) -> list[str]:
    """The texts with a word that was never said and is no name of a song, note or chord."""
    assert texts
    return [
        text
        for text in texts
        if any(word not in GIVEN and not SHOWN_CHORD.fullmatch(word) for word in words_unsaid(text))
    ]


def texts_of(segments: tuple[Segment, ...]) -> Iterator[str]:
    for segment in segments:
        yield from (segment.title, segment.on_screen, *segment.say)


@pytest.mark.parametrize("naming", [Naming.LETTERS, Naming.DEGREES])
@pytest.mark.parametrize("title", DEMO_SONGS)
def test_a_running_order_is_said(title: str, naming: Naming) -> None:
    with open_places():
        song = DEMO_SONGS[title]()
        embellished = replace(song, parts=tuple(replace(one, teaching=PLAYS) for one in song.parts))
        for one in (song, embellished):
            segments = running_order(one, LessonSettings(naming=naming.value, embellishments=("broken", "thirds")))
            assert unsaid(list(texts_of(segments))) == []


def test_a_part_that_comes_back_is_said_to() -> None:
    with open_places():
        night = part("C4:1 E4:1 G4:1 E4:1")
        segments = running_order(drawn_song("Night", "C major", "4/4", night, night))
        assert any(segment.on_screen == "⟦Part ⟧2⟦ · as part ⟧1⟦⟧" for segment in segments)
        assert unsaid(list(texts_of(segments))) == []


def test_the_order_in_which_a_song_plays_its_parts_is_said() -> None:
    with open_places():
        song = replace(night_ferry(), playing_order=(1, 2, 1, 2, 3, 1))
        assert unsaid(list(texts_of(running_order(song)))) == []


@pytest.mark.parametrize("kind", KINDS_OF_SEGMENTS)
def test_fields_of_own_phrases_are_said_and_their_words_are_left_as_they_are(kind: str) -> None:
    with open_places():
        for song in (night_ferry(), drawn_song("Night", "C major", "4/4", part("C4:4 E4:4"), part("G4:4 C4:4"))):
            own = set_phrase(song, kind, "§ " + " ".join(f"‹{field}›" for field in FIELDS))
            filled = [text for one in running_order(own) if one.kind == kind for text in one.say]
            assert all(text.startswith("§ ") for text in filled)
            assert unsaid([*filled, "⟦⟧"]) == []


def test_asides_are_introduced_in_the_language_chosen_and_left_as_they_are() -> None:
    with open_places():
        song = DEMO_SONGS["heron_at_the_sluice"]()
        lines = [aside_line(song, PlacedAside(onset, "§")) for onset in (0, song.pickup)]
        assert unsaid(lines) == []
        assert all(line.endswith("§⟦⟧") for line in lines)


def test_what_cannot_be_played_is_said() -> None:
    with open_places():
        segments = running_order(night_ferry())
        silent = next(segment for segment in segments if not segment.play)
        nothing = drawn_song("Night", "C major", "4/4", part("-:4"))
        for refused in (
            lambda: segment_schedule(night_ferry(), silent),
            lambda: segment_numbered(segments, 99),
            lambda: running_order(nothing),
        ):
            with pytest.raises(PlanError) as error:
                refused()
            assert unsaid([str(error.value)]) == []


@pytest.mark.parametrize("both", [True, False])
def test_how_playing_went_is_said(both: bool) -> None:
    verdicts: tuple[Verdict, ...] = ("right", "early", "late", "missed", "wrong", "apart", "late")
    with open_places():
        for song in DEMO_SONGS.values():
            made = song()
            for faults in (verdicts, ("right",), ("wrong",), ("late",) * 3):
                played = [
                    PlayedNote(
                        number,
                        0,
                        60 + place,
                        verdict,
                        None if verdict == "wrong" else Hand.LEFT if both and place % 2 else Hand.RIGHT,
                    )
                    for place, verdict in enumerate(faults)
                    for number in range(1, len(made.parts) + 1)
                ]
                assert unsaid([playing_told(made, played)]) == []


def held_over() -> Song:
    """Two parts, the second of which begins under the chord that the first one ends on."""
    second = part("G4:1 E4:1 G4:2 -:4", "C:2 F:4 G:2")
    second = replace(second, chords=(replace(second.chords[0], continued=True), *second.chords[1:]))
    return drawn_song("Held", "C major", "4/4", part("C4:4 E4:4", "C:8"), second)


class SessionAlone(MarkedLanguage):
    """Says between the two signs what the script check itself says, so that names and lengths can still be read."""

    def __init__(self) -> None:
        self.said: set[str] = set()

    def gettext(self, message: str, /) -> str:
        if message not in CHECKED:
            return message
        self.said.add(message)
        return OPEN + re.sub(r"(\{\w+\})", rf"{CLOSE}\1{OPEN}", message) + CLOSE


def test_faults_that_come_again_or_in_many_bars_are_counted_in_the_language_chosen() -> None:
    with open_places():
        song = drawn_song("Night", "C major", "4/4", part("C4:28"))
        bar = 4 * TICKS_PER_QUARTER
        played = [PlayedNote(1, place * bar, 60, "late", Hand.RIGHT) for place in range(7) for _ in range(2)]
        told = playing_told(song, played)
    assert unsaid([told]) == []
    assert "⟦ (⟧2⟦ times)⟧" in told
    assert told.endswith("⟦And something in ⟧3⟦ more bars.⟧")


def test_all_that_is_found_in_words_is_said_with_the_words_as_they_are(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (script_reading, script_facts):
        monkeypatch.setattr(module, "in_english", lambda: True)
    language = SessionAlone()
    with speaking(language):
        faulty = [(night_ferry(), number, kind, text) for kind, texts in FAULTS.items() for number, text in texts]
        faulty += [(held_over(), 2, "together", text) for text in HELD_FAULTS]
        told = [
            (finding.sentence, text)
            for song, number, kind, text in faulty
            for finding in check_script(song, number, kind, text)
        ]
    for sentence, text in told:
        quoted = set(re.findall(r"[a-z]+", text.lower()))
        unknown = [word for word in words_unsaid(sentence) if word.lower() not in quoted | NAMED]
        assert unknown == [], sentence
    assert CHECKED - language.said == set()


def test_warnings_name_the_part_and_the_hand_in_the_language_chosen() -> None:
    first = night_ferry().part(1)
    words = tuple(OwnWords(kind, faulty[0][1]) for kind, faulty in FAULTS.items())
    song = night_ferry().with_part(1, replace(first, teaching=replace(first.teaching, words=words)))
    assert len(script_warnings(song)) > 3
    with open_places():
        said = script_warnings(song)
    assert [text for text in said if not re.match(r"⟦Part ⟧1⟦, (right hand|left hand|together): ⟧", text)] == []


class Deutsch:
    """A language whose numbers are its own."""

    def gettext(self, message: str, /) -> str:
        return message

    def pgettext(self, context: str, message: str, /) -> str:
        named = {"one": "eins", "two": "zwei", "three": "drei", "four": "vier", "five": "fünf", "twenty": "zwanzig"}
        return named.get(message, message) if context == "number" else message

    def ngettext(self, one: str, many: str, n: int, /) -> str:
        return one if n == 1 else many


def check(text: str, naming: Naming, song: Song | None = None) -> list[str]:
    return [one.sentence for one in check_script(song or night_ferry(), 1, "right_hand", text, naming)]


def test_numbers_of_another_language_are_not_taken_for_scale_degrees() -> None:
    text = "Spiel eins, drei, vier, fünf, halte die vier zwei Schläge, dann drei und zwei."
    english = "Play one, three, four, five, hold four for two beats, then three and two."
    assert check(english, Naming.DEGREES) == []
    assert check(english.replace("three, four", "six, four"), Naming.DEGREES) != []
    with speaking(Deutsch()):
        assert check(text, Naming.DEGREES) == []


def test_names_of_notes_are_read_in_another_language() -> None:
    with speaking(Deutsch()):
        assert check("Spiel E, G, A, H, dann A, G, Fis.", Naming.GERMAN) == []
        assert check("Spiel E, G, A, C, dann A, G, Fis.", Naming.GERMAN) != []
