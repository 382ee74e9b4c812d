"""Writes pictures of every workspace, in both themes and three sizes, and of moments of the work.

Run by name: ``python -m tests.journeys.screens --out DIR``. With ``--readme`` it writes the README's picture too.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QDeadlineTimer, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea

from app.engine.protocol import KeyJudged, Ports
from app.listen.piece import Piece
from app.resources import HOME
from app.widgets.selection import Kind, Place
from app.window.header import Workspace
from core.edits.set_phrase import set_phrase
from core.performance.following import Verdict
from core.performance.output import HandChannel, Output
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.phrase import Phrase
from core.song.pitch import Pitch
from core.song.song import Song
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_tones import chord_tones
from tests.helpers.open_window import OpenWindow, open_window
from tests.helpers.sheet_hands import SheetHands
from tests.helpers.songs import DEMO_SONGS

SIZES = ((1280, 720), (1920, 1080), (900, 600))
THEMES = ("light", "dark")
PATIENCE = 30_000
"""Milliseconds to wait for the helper process at most."""

Moment = Callable[[OpenWindow], None]


def drafting(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.DRAFT)
    opened.window.selection.select(Place(2, Kind.NOTE, 0))


def listening(opened: OpenWindow) -> None:
    opened.settings.change(speed=70, again=True)
    opened.window.show_workspace(Workspace.LISTEN)
    opened.window.selection.select(Place(2))
    embellish = opened.window.page.listen_panel.embellish
    embellish.left.choose("broken")
    embellish.keep.click()
    embellish.right.choose("thirds")
    opened.window.player.play(Piece("part", 2))
    opened.engine.move_to(1.6)
    patience = QDeadlineTimer(PATIENCE)
    while not opened.window.page.listen_panel.keys.buttons and not patience.hasExpired():
        QApplication.processEvents()


def drawing_a_pattern(opened: OpenWindow) -> None:
    listening(opened)
    embellish = opened.window.page.listen_panel.embellish
    embellish.draw.click()
    embellish.own.name.setText("rocking")
    for tone, column in (("R", 0), ("5", 1), ("8", 2), ("C", 4), ("5_", 6)):
        embellish.own.grid.cell(tone, column).click()


def before_the_camera(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.CAMERA)
    for _ in range(6):
        opened.window.camera.next()


def camera_opening(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.CAMERA)


def choosing_a_song(opened: OpenWindow) -> None:
    opened.window.show_workspace(Workspace.SONGS)
    songs = opened.window.songs
    patience = QDeadlineTimer(PATIENCE)
    while songs.is_reading and not patience.hasExpired():
        QApplication.processEvents()


def about_the_lesson(opened: OpenWindow) -> None:
    opened.window.show_about()


def beginning_a_lesson(opened: OpenWindow) -> None:
    opened.window.new_lesson()


def choosing_a_tune(opened: OpenWindow) -> None:
    opened.window.choose_tune("tunes.abc", ("The Kestrel Above the Lock", "Lamplighter's Way Home", "Slow Water"))


def remarking_on_a_note(opened: OpenWindow) -> None:
    drafting(opened)
    opened.window.page.draft_panel.asides.add_here()
    field = opened.window.page.draft_panel.asides.rows[0].field
    QTest.keyClicks(field, "You can hold just this one, if the next three are too quick.")


def noting_a_wish(opened: OpenWindow) -> None:
    opened.settings.change(folder=str(opened.settings.folder))
    opened.window.show_wish()


def looking_up_keys(opened: OpenWindow) -> None:
    opened.window.show_shortcuts()


def phrasing(opened: OpenWindow) -> None:
    """Own phrases, one for all lessons and one for this."""
    opened.settings.change(segment_phrases=(Phrase("opening", "Good evening. ‹words›"),))
    opened.document.apply(lambda song: set_phrase(song, "opening", "‹title› begins on ‹start note›. ‹words›"), "phrase")
    opened.window.show_phrases()


def setting_up(opened: OpenWindow) -> None:
    opened.window.show_settings()


def choosing_outputs(opened: OpenWindow) -> None:
    opened.engine.ports.emit(Ports(("Stage piano", "Organ in the hall"), ()))
    opened.settings.change(also=("Stage piano",), ways=(Output("Stage piano", left=HandChannel(2, 33), latency=25),))
    opened.window.show_outputs()


def dragging_a_note(opened: OpenWindow) -> None:
    drafting(opened)
    hands = SheetHands(opened)
    hands.drag(hands.row(2), hands.point("note", 2, 0), 60, -16, drop=False)


def dragging_a_landing(opened: OpenWindow) -> None:
    """A pin is held where it may not lie: the places where it may are shown, and the reason is said."""
    drafting(opened)
    hands = SheetHands(opened)
    row = hands.row(2)
    hands.drag(row, hands.point("landing", 2, 1), -row.width(), 0, drop=False)


def writing_the_left_hand_out(opened: OpenWindow) -> None:
    """A left hand in notes of its own under the chords of every part: the root, and what lies above it in turn."""

    def written(song: Song) -> Song:
        for number, part in enumerate(song.parts, 1):
            left = []
            for chord in part.chords:
                root, *others = (Pitch.of(name, 3) for name in chord_tones(chord.symbol))
                for beat, onset in enumerate(range(chord.onset, chord.end, TICKS_PER_QUARTER)):
                    lasts = min(TICKS_PER_QUARTER, chord.end - onset)
                    struck = others[:2] if beat % 2 else [root]
                    left += [Note(onset, lasts, pitch, Hand.LEFT, True, melody=False) for pitch in struck]
            song = song.with_part(number, replace(part, notes=in_order([*part.notes, *left])))
        return song

    opened.document.apply(written, "left hand")
    drafting(opened)


def misnaming_a_chord(opened: OpenWindow) -> None:
    drafting(opened)
    SheetHands(opened).double_click("chord", 2, 1)
    field = opened.window.page.desk.chord_field.field
    assert field is not None
    field.selectAll()
    QTest.keyClicks(field, "Gq7")


def saving_or_not(opened: OpenWindow) -> None:
    drafting(opened)
    SheetHands(opened).type("d")
    opened.window.close()


def own_words(opened: OpenWindow) -> None:
    drafting(opened)
    words = opened.window.page.draft_panel.words.kinds["right_hand"]
    words.field.setFocus()
    words.field.selectAll()
    QTest.keyClicks(words.field, "Start on C sharp with your fourth finger. Then walk down.")
    opened.window.page.sheet.setFocus()
    SheetHands(opened).type("d")


def walked_with_tab(opened: OpenWindow) -> None:
    drafting(opened)
    opened.window.page.draft_strip.split.setFocus()
    opened.window.page.sheet.setFocus(Qt.FocusReason.TabFocusReason)


def focus_on_a_button(opened: OpenWindow) -> None:
    drafting(opened)
    opened.window.page.draft_strip.split.setFocus(Qt.FocusReason.TabFocusReason)


def first_steps(opened: OpenWindow) -> None:
    drafting(opened)
    opened.window.show_first_steps()


def reading_in_words(opened: OpenWindow) -> None:
    drafting(opened)
    opened.window.menus.reading.trigger()


def judged(opened: OpenWindow, *verdicts: Verdict) -> None:
    """What the engine says of the first notes that are played along."""
    for verdict, note in zip(verdicts, opened.engine.meant, strict=False):
        opened.engine.judged.emit(KeyJudged(verdict, note.midi, note.seconds, 0.15))


def playing_along(opened: OpenWindow) -> None:
    """The right hand is played along: every verdict, a wrong key that is still down, and one that is matched."""
    opened.settings.change(own_hands="right", hands="left", keyboard="Keys", again=False, count_in=False)
    opened.window.show_workspace(Workspace.LISTEN)
    opened.window.player.play(Piece("song"))
    judged(opened, "right", "late", "early", "right", "missed", "right", "apart", "right", "early")
    now = opened.engine.meant[9]
    opened.engine.move_to(now.seconds)
    opened.engine.judged.emit(KeyJudged("wrong", now.midi + 1, None, 0.0))
    for midi in (now.midi, now.midi + 1):
        opened.engine.key.emit(midi, 80, True, 0.0)
    opened.engine.judged.emit(KeyJudged("right", now.midi, now.seconds, 0.0))


def played_along(opened: OpenWindow) -> None:
    """Both hands were played along, and how it went is told."""
    opened.settings.change(own_hands="both", keyboard="Keys", again=False, count_in=False)
    opened.window.show_workspace(Workspace.LISTEN)
    opened.window.player.play(Piece("part", 1))
    judged(opened, "right", "late", "right", "right", "missed", "right", "apart", "right", "early")
    opened.window.player.stop()
    settle()
    side = opened.window.page.listen_panel.parentWidget()
    assert side is not None
    area = side.parentWidget()
    assert isinstance(area, QScrollArea)
    area.ensureWidgetVisible(opened.window.page.listen_panel.practice.told)


def waiting_for_a_note(opened: OpenWindow) -> None:
    opened.settings.change(own_hands="both", wait=True, keyboard="Keys", again=False, count_in=False)
    opened.window.show_workspace(Workspace.LISTEN)
    opened.window.player.play(Piece("part", 2))
    struck = [note for note in opened.engine.meant if note.seconds == opened.engine.meant[0].seconds]
    opened.engine.move_to(struck[0].seconds)
    rights: list[Verdict] = ["right" for _ in struck[1:]]
    judged(opened, *rights)
    opened.engine.judged.emit(KeyJudged("wrong", struck[-1].midi + 1, None, 0.0))


def doubting_hands(opened: OpenWindow) -> None:
    """Both hands lie near one another, and nobody has said which plays what."""
    keys = ("C4", "E4", "D4", "F4", "B3", "G4", "E4", "C4")
    notes = tuple(
        Note(beat * TICKS_PER_QUARTER, TICKS_PER_QUARTER, Pitch.parse(key), hand, melody=hand is Hand.RIGHT)
        for beat, key in enumerate(keys)
        for hand in ((Hand.LEFT, Hand.RIGHT)[beat % 2],)
    )
    opened.document.take(Song("Close Together", (Part(8 * TICKS_PER_QUARTER, notes),)))
    patience = QDeadlineTimer(PATIENCE)
    while not opened.window.page.doubtful.hands and not patience.hasExpired():
        QApplication.processEvents()


def suggested_chords(opened: OpenWindow) -> None:
    song = opened.song
    parts = tuple(replace(part, chords=tuple(replace(one, given=False) for one in part.chords)) for part in song.parts)
    opened.document.take(replace(song, parts=parts))
    opened.window.selection.select(Place(2, Kind.CHORD, 1))


def with_large_text(moment: Moment) -> Moment:
    def large(opened: OpenWindow) -> None:
        opened.settings.change(text_scale=200)
        moment(opened)

    return large


MOMENTS: dict[str, Moment] = {
    "draft": drafting,
    "listen": listening,
    "own_pattern": drawing_a_pattern,
    "camera": before_the_camera,
    "camera_opening": camera_opening,
    "songs": choosing_a_song,
    "keys": looking_up_keys,
    "settings": setting_up,
    "outputs": choosing_outputs,
    "phrases": phrasing,
    "about": about_the_lesson,
    "new_lesson": beginning_a_lesson,
    "tunes": choosing_a_tune,
    "aside": remarking_on_a_note,
    "wish": noting_a_wish,
    "dragging": dragging_a_note,
    "dragging_a_landing": dragging_a_landing,
    "left_hand": writing_the_left_hand_out,
    "chord_mistake": misnaming_a_chord,
    "unsaved": saving_or_not,
    "own_words": own_words,
    "tabbed": walked_with_tab,
    "button_focus": focus_on_a_button,
    "playing_along": playing_along,
    "played_along": played_along,
    "waiting": waiting_for_a_note,
    "doubtful_hands": doubting_hands,
    "suggested_chords": suggested_chords,
    "first_steps": first_steps,
    "in_words": reading_in_words,
    **{
        f"{name}_large_text": with_large_text(moment)
        for name, moment in (
            ("draft", drafting),
            ("listen", listening),
            ("camera", before_the_camera),
            ("songs", choosing_a_song),
            ("settings", setting_up),
            ("keys", looking_up_keys),
        )
    },
}
EVERY_SIZE = ("draft", "listen", "playing_along", "camera", "songs", "settings")
"""Shown in every size; the other moments in the smaller one."""


def pictures(folder: Path, songs: tuple[str, ...]) -> Iterator[Path]:
    """Every picture's path, once it is written."""
    for song in songs:
        for theme in THEMES:
            for size in SIZES:
                for name, moment in MOMENTS.items():
                    if size == SIZES[0] or name in EVERY_SIZE:
                        path = folder / f"{song}-{name}-{theme}-{size[0]}x{size[1]}.png"
                        yield picture(path, song, theme, size, moment)


def picture(path: Path, song: str, theme: str, size: tuple[int, int], moment: Moment) -> Path:
    """Write the picture of a moment."""
    with ExitStack() as stack:
        place = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        opened = stack.enter_context(open_window(DEMO_SONGS[song](), place, size))
        opened.settings.change(theme=theme)
        opened.window.activateWindow()
        settle()
        moment(opened)
        settle()
        opened.window.grab().save(str(path))
        opened.slow_work.close()
    return path


def settle() -> None:
    """Let everything that waits happen."""
    for _ in range(5):
        QApplication.processEvents()


def readme_picture() -> Path:
    """The picture that the README shows."""
    path = HOME / "assets" / "pictures" / "draft.png"
    path.parent.mkdir(exist_ok=True)
    return picture(path, "night_ferry", "light", (1280, 800), drafting)


def main() -> int:
    """Write the pictures asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, required=True, help="folder for the pictures; made if it is not there")
    parser.add_argument("--song", action="append", choices=sorted(DEMO_SONGS), help="only these songs")
    parser.add_argument("--readme", action="store_true", help="write the README's picture too")
    options = parser.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    application = QApplication.instance() or QApplication([])
    assert application is not None
    options.out.mkdir(parents=True, exist_ok=True)
    for path in pictures(options.out, tuple(options.song or ("night_ferry",))):
        sys.stdout.write(f"{path}\n")
    if options.readme:
        sys.stdout.write(f"{readme_picture()}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
