"""Plays parts, run-throughs and the song, as the listening choices say.

The engine's process keeps the time. What is asked for here is sent as one immutable schedule with a number; a
position that belongs to an older schedule is dropped. Speed changes at once, without a new schedule; anything
else that changes while it plays (hands, the song itself) makes a new schedule that goes on from the same place.
"""

from __future__ import annotations

from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QObject, QTimer, Signal

from app.document.document import LessonDocument
from app.listen.devices import Devices
from app.listen.piece import Piece
from app.listen.playback_engine import PlaybackEngine
from app.listen.playing_along import PlayingAlong
from app.listen.sounding_keys import SoundingKeys
from app.settings.settings import Settings
from app.settings.settings_store import SettingsStore
from app.widgets.lit_keys import finger_on
from core.performance.following import Meant
from core.performance.same_place import same_place
from core.performance.schedule import Schedule, TimedEvent, make_schedule
from core.performance.selection import Selection
from core.session.running_order import running_order
from core.session.segment_playing import segment_numbered, segment_schedule
from core.song.errors import PhrasebenchError
from core.song.note import Hand
from core.song.song import Song
from core.teaching.naming import Naming

TRIED_VELOCITY: Final = 64
"""How hard a single key is struck when it is tried out."""
TRIED_MILLISECONDS: Final = 600
"""How long a note that was named or moved sounds."""
HANDS: Final = {
    "right": frozenset({Hand.RIGHT}),
    "left": frozenset({Hand.LEFT}),
    "both": frozenset(Hand),
}
SOFTER_HANDS: Final = {"none": None, "right": Hand.RIGHT, "left": Hand.LEFT}
WRITTEN_PERCENT: Final = 100
HEARD_FIELDS: Final = (
    "hands",
    "metronome",
    "softer",
    "clicks",
    "click_percent",
    "faster",
    "own_hands",
    "wait",
    "count_in",
)
"""Choices that make another schedule of what plays."""


class Player(QObject):
    """Plays the lesson that is open."""

    playing_changed = Signal(object)
    """The piece that plays now, or None."""
    position_changed = Signal(int, int)
    """The part that plays and the ticks from its start; 0 and 0 when nothing plays."""
    keys_changed = Signal(object)
    """The keys that are down now, by MIDI number, with hand and finger; None when nothing plays."""
    message = Signal(str)
    """One sentence: why nothing is heard."""
    told = Signal(str)
    """How somebody played along, once it has come to an end."""

    def __init__(
        self,
        document: LessonDocument,
        settings: SettingsStore,
        engine: PlaybackEngine,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self._engine = engine
        self._trial: Song | None = None
        self._piece: Piece | None = None
        self._schedule = Schedule()
        self._keys = SoundingKeys(self._schedule, self._finger_of)
        self._generation = -1
        self._start = 0
        self._seconds = 0.0
        self._meant: tuple[Meant, ...] = ()
        self._times = 1
        self._tried: int | None = None
        self._let_go = QTimer(self)
        self._let_go.setSingleShot(True)
        self._let_go.setInterval(TRIED_MILLISECONDS)
        self._let_go.timeout.connect(self._end_trying)
        engine.position.connect(self._moved)
        engine.ended.connect(self._ended)
        engine.trouble.connect(self._troubled)
        self.along = PlayingAlong(lambda: document.song, self._finger_of, self)
        self.along.call_notes(Naming(settings.settings.naming))
        engine.judged.connect(self.along.judge)
        engine.key.connect(lambda midi, _velocity, on, _seconds: self.along.press(midi, on=on))
        self.devices = Devices(engine, settings, self.along)
        engine.ready.connect(self.devices.engine_ready)
        engine.ports.connect(self.devices.ports_changed)
        document.song_changed.connect(self._song_changed)
        settings.changed.connect(self._choices_changed)

    @property
    def outputs(self) -> tuple[str, ...]:
        """The MIDI ports that can be played to."""
        return self.devices.outputs

    @property
    def keyboards(self) -> tuple[str, ...]:
        """The MIDI ports that can be listened to."""
        return self.devices.keyboards

    @property
    def piece(self) -> Piece | None:
        """What plays now, or None."""
        return self._piece

    def segments(self) -> tuple[tuple[int, str], ...]:
        """Number and title of every segment of the lesson in which something is played."""
        try:
            order = running_order(self._document.song, self._settings.settings.lesson())
        except PhrasebenchError:
            return ()
        return tuple((segment.number, segment.title) for segment in order if segment.play)

    def toggle(self, piece: Piece) -> None:
        """Play a piece; stop if it is the one that plays."""
        if piece == self._piece:
            self.stop()
        else:
            self.play(piece)

    def play(self, piece: Piece, tick: int = 0) -> None:
        """Play a piece, whatever plays now; a part from so many ticks of it on."""
        choices = self._settings.settings
        # What is played again and again begins at the piece's start each time: it is counted in there.
        self._start = tick if choices.count_in and not choices.again else 0
        if not self._make_schedule(piece, self._start):
            return
        self._end_trying()
        self._seconds = 0.0
        self._generation = self._engine.load(self._schedule)
        self._expect(choices)
        self._engine.set_speed(choices.speed / 100)
        self._set_loop(choices)
        if tick and not self._start:
            self._seconds = self._schedule.seconds_of(piece.number, tick) or 0.0
            self._engine.seek(self._seconds)
        self.along.begin(self._seconds, wait=choices.wait)
        self._engine.play()
        self._say_piece(piece)
        self.devices.play_to_click(self._click(choices))
        if self.devices.missing:
            self.message.emit(self.devices.missing)

    def go_to(self, part: int, tick: int) -> None:
        """Go on from a moment of a part, where what plays has it; nothing happens while nothing plays."""
        if self._piece is None:
            return
        seconds = self._schedule.seconds_of(part, tick)
        if seconds is not None:
            self._seconds = seconds
            self._engine.seek(seconds)
            self.along.go_to(seconds)

    def try_song(self, song: Song | None) -> None:
        """Play another version of the lesson's song, None for the lesson's own; what plays goes on in it."""
        before, self._trial = self._song, song
        if self._song is not before:
            self._go_on_in(before)

    @property
    def _song(self) -> Song:
        """What is played: the lesson's song, or the version of it that is being tried."""
        return self._document.song if self._trial is None else self._trial

    def silence(self) -> None:
        """Stop, and let everything go that sounds, whoever struck it."""
        self._let_go.stop()
        self._tried = None
        self._engine.silence()
        self._say_piece(None)

    def stop(self) -> None:
        """Stop; nothing sounds any more."""
        if self._piece is not None:
            self._engine.stop()
            self._say_piece(None)

    def try_key(self, midi: int) -> None:
        """Sound a note for a moment; not while something plays."""
        if self._piece is not None:
            return
        self._end_trying()
        self._tried = midi
        self._engine.note(midi, TRIED_VELOCITY, on=True)
        self._let_go.start()

    def press_key(self, midi: int) -> None:
        """Sound a key until it is let go."""
        self._engine.note(midi, TRIED_VELOCITY, on=True)

    def release_key(self, midi: int) -> None:
        """Let a key go."""
        self._engine.note(midi, 0, on=False)

    def close(self) -> None:
        """Stop, and end the engine."""
        self._let_go.stop()
        self._say_piece(None)
        self.along.close()
        self._engine.close()

    def _end_trying(self) -> None:
        self._let_go.stop()
        if self._tried is not None:
            self._engine.note(self._tried, 0, on=False)
            self._tried = None

    def _make_schedule(self, piece: Piece, start: int = 0) -> bool:
        choices = self._settings.settings
        song = self._song
        try:
            if piece.kind == "segment":
                lesson = choices.lesson()
                segment = segment_numbered(running_order(song, lesson), piece.number)
                self._schedule, self._meant = segment_schedule(song, segment, lesson.pause), ()
                self.along.meant(Schedule())
                self._keys, self._times = SoundingKeys(self._schedule, self._finger_of), 1
                return True
            self._times = times_until_written(choices)
            wanted = piece.selection(song)
            selection = Selection(
                wanted.parts,
                HANDS[choices.hands],
                count_in=choices.count_in,
                metronome=choices.metronome,
                start=start or wanted.start,
                end=wanted.end,
                times=self._times,
                rise=choices.faster / choices.speed,
                softer=SOFTER_HANDS[choices.softer],
                subdivisions=choices.clicks,
                click_level=choices.click_percent / 100,
            )
            self._schedule = make_schedule(song, selection)
            self._meant = self._notes_of(choices.own_hands, song, selection)
        except PhrasebenchError as error:
            self.message.emit(str(error))
            return False
        self._keys = SoundingKeys(self._schedule, self._finger_of)
        return True

    def _notes_of(self, hands: str, song: Song, selection: Selection) -> tuple[Meant, ...]:
        """The notes that the teacher plays along, whatever is heard of them."""
        own = make_schedule(song, replace(selection, hands=HANDS[hands])) if hands in HANDS else Schedule()
        return self.along.meant(own, on_sheet=len(song.parts) == len(self._document.song.parts))

    def _click(self, choices: Settings) -> float:
        """Tempo of a metronome that clicks steadily, in quarter notes a minute; 0 for none."""
        clicks = choices.metronome and self._piece is not None and self._piece.kind != "segment"
        steady = clicks and self._times == 1 and len(self._song.tempos) == 1
        return self._song.tempo * choices.speed / 100 if steady else 0.0

    def _expect(self, choices: Settings) -> None:
        if self._meant:
            self._engine.expect(self._meant, wait=choices.wait)

    def _set_loop(self, choices: Settings) -> None:
        """Play the last time again and again, with the count-in where that is wanted."""
        positions = self._schedule.positions
        times = self._times
        if not choices.again or not positions:
            self._engine.loop_off()
            return
        start = positions[len(positions) // times * (times - 1)][0]
        if choices.count_again and times == 1:
            start = 0.0
        if self._schedule.length > start:
            self._engine.loop(start, self._schedule.length)

    def _go_on(self) -> None:
        """Play on from the same place of the song with a new schedule; what is being counted in is counted on."""
        piece = self._piece
        if piece is None:
            return
        before = self._schedule
        gone = piece.kind in ("part", "through") and piece.number > len(self._song.parts)
        counting = bool(before.positions) and self._seconds < before.positions[0][0]
        self._start = self._start if counting else 0
        if gone or not self._make_schedule(piece, self._start):
            self.stop()
            return
        self._seconds = same_place(before, self._seconds, self._schedule)
        self._generation = self._engine.exchange(self._schedule, self._seconds)
        self._expect(self._settings.settings)
        self.along.go_on(self._seconds, wait=self._settings.settings.wait)
        self._set_loop(self._settings.settings)

    def _moved(self, generation: int, seconds: float, playing: bool) -> None:
        if generation != self._generation or self._piece is None or not playing:
            return
        self._seconds = seconds
        self.along.move_to(seconds)
        part, tick = self._schedule.place(seconds)
        if len(self._song.parts) == len(self._document.song.parts):  # a part that is only tried is on no sheet
            self.position_changed.emit(part, tick)
        self.keys_changed.emit(self._keys.at(seconds))

    def _ended(self, generation: int) -> None:
        if generation == self._generation:
            self._say_piece(None)

    def _finger_of(self, event: TimedEvent) -> int | None:
        return finger_on(self._song, event.part, event.tick, event.midi)

    def _troubled(self, sentence: str) -> None:
        self.message.emit(sentence)

    def _say_piece(self, piece: Piece | None) -> None:
        if piece != self._piece:
            self._piece = piece
            self.playing_changed.emit(piece)
            if piece is None:
                self.devices.play_to_click(0.0)
            if piece is None and (told := self.along.stop()):
                self.told.emit(told)
        if piece is None:
            self.position_changed.emit(0, 0)
            self.keys_changed.emit(None)

    def _song_changed(self, before: Song, after: Song) -> None:
        self.along.song_changed(before, after)
        before, self._trial = self._trial or before, None
        self._go_on_in(before)

    def _go_on_in(self, before: Song) -> None:
        """Play on in the song as it is now, from the same place."""
        if self._piece is None:
            return
        if before.title != self._song.title or len(before.parts) != len(self._song.parts):
            self.stop()
        else:
            self._go_on()

    def _choices_changed(self, before: Settings, after: Settings) -> None:
        if before.naming != after.naming:
            self.along.call_notes(Naming(after.naming))
        self.devices.choices_changed(before, after)
        if before.speed != after.speed:
            self._engine.set_speed(after.speed / 100)
        if any(getattr(before, field) != getattr(after, field) for field in HEARD_FIELDS):
            self._go_on()
        elif (before.again, before.count_again) != (after.again, after.count_again) and self._piece is not None:
            if times_until_written(before) == times_until_written(after):
                self._set_loop(after)
            else:
                self._go_on()


def times_until_written(choices: Settings) -> int:
    """How often something is played, each time faster, until it has reached the tempo as written; else once."""
    if not choices.again or not choices.faster or choices.speed >= WRITTEN_PERCENT:
        return 1
    return -(-(WRITTEN_PERCENT - choices.speed) // choices.faster) + 1
