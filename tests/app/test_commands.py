"""The command line, as somebody types it."""

import io
import json
import os
import shutil
import subprocess
import sys
import wave
from array import array
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import miniaudio
import pytest
from msgspec.structs import replace

from app import __version__
from app.commands.song_files import song_named
from app.main import main
from app.settings.settings import Settings
from app.settings.settings_text import write_settings
from core.formats.registry import read_song
from core.performance.output import HandChannel, Output
from core.performance.schedule import Schedule
from core.song.errors import DeviceError
from core.song.note import Hand

HOME = Path(__file__).resolve().parents[2]
DEMO = HOME / "demo_songs" / "night_ferry.lesson"
PLAN_FILES = ["plan.csv", "plan.html", "plan.json", "plan.pdf"]


@dataclass(frozen=True)
class Outcome:
    """What a command line came to."""

    status: int
    out: str
    err: str

    @property
    def objects(self) -> list[dict[str, object]]:
        """The lines of standard output as JSON."""
        return [json.loads(line) for line in self.out.splitlines()]

    @property
    def complaint(self) -> str:
        """The one line on standard error."""
        assert self.err.count("\n") == 1, self.err
        return self.err.removesuffix("\n")


Typed = Callable[..., Outcome]


@pytest.fixture
def typed(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typed:
    """Runs a command line in a folder of its own that holds one lesson."""
    shutil.copy(DEMO, tmp_path / "song.lesson")
    monkeypatch.chdir(tmp_path)

    def run(*words: str) -> Outcome:
        status = main(words)
        spoken = capsys.readouterr()
        return Outcome(status, spoken.out, spoken.err)

    return run


# --- inspect ---------------------------------------------------------------------------------------------------------


def test_inspect_prints_one_object_a_line_for_each_file(typed: Typed) -> None:
    shutil.copy("song.lesson", "other.lesson")
    done = typed("inspect", "song.lesson", "other.lesson", "--only", "title,metre")
    assert (done.status, done.err) == (0, "")
    assert done.objects == [
        {"file": "song.lesson", "title": "Night Ferry", "metre": "4/4"},
        {"file": "other.lesson", "title": "Night Ferry", "metre": "4/4"},
    ]


def test_inspect_without_only_prints_every_field_that_is_computed(typed: Typed) -> None:
    (inspection,) = typed("inspect", "song.lesson").objects
    assert next(iter(inspection)) == "file"
    wanted = {"title", "key", "metre", "tempo", "length", "playing_order", "notes", "chords", "landings", "phrases"}
    assert wanted | {"parts", "effort", "warnings"} <= set(inspection)


def test_inspect_gives_a_file_that_cannot_be_read_its_own_line_and_goes_on(typed: Typed) -> None:
    done = typed("inspect", "missing.mid", "song.lesson", "--only", "title")
    assert done.status == 1
    failed, read = done.objects
    assert failed == {"file": "missing.mid", "error": done.complaint}
    assert read == {"file": "song.lesson", "title": "Night Ferry"}


def test_the_only_file_that_cannot_be_read_makes_status_two(typed: Typed) -> None:
    done = typed("inspect", "missing.mid")
    assert done.status == 2
    assert done.complaint == "missing.mid: there is no such file; check its name and folder."
    assert done.objects == [{"file": "missing.mid", "error": done.complaint}]


def test_several_files_that_all_fail_make_status_one(typed: Typed) -> None:
    done = typed("inspect", "a.mid", "b.mid")
    assert done.status == 1
    assert [one["file"] for one in done.objects] == ["a.mid", "b.mid"]
    assert done.err.count("\n") == 2


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("folder.lesson", None, "this is a folder; name a file in it"),
        ("cut.lesson", DEMO.read_bytes()[:500], "cut.lesson"),
        ("foreign.lesson", b"\x00\x01\x02", "foreign.lesson"),
        ("empty.lesson", b"", "empty.lesson"),
        ("song.docx", b"PK", ".lesson"),
        ("song", b"", ".lesson"),
    ],
)
def test_what_cannot_be_read_gets_one_sentence_with_its_name(
    typed: Typed, name: str, data: bytes | None, says: str
) -> None:
    if data is None:
        Path(name).mkdir()
    else:
        Path(name).write_bytes(data)
    done = typed("inspect", name)
    assert done.status == 2
    assert done.complaint.startswith(name)
    assert says in done.complaint


def test_a_device_is_not_read(typed: Typed) -> None:
    done = typed("inspect", "/dev/zero")
    assert (done.status, done.complaint) == (2, "/dev/zero: this is a device, not a file; name a file.")


def test_a_name_no_file_can_have_gets_one_sentence(typed: Typed) -> None:
    assert "no file can have this name" in typed("inspect", "a\0b.mid").complaint
    assert "so long a name" in typed("inspect", "x" * 5000 + ".mid").complaint


def test_an_unknown_field_is_answered_with_the_nearest(typed: Typed) -> None:
    done = typed("inspect", "song.lesson", "--only", "titel")
    assert (done.status, done.out) == (2, "")
    assert done.complaint == "inspect has no field “titel”: did you mean “title”?"


def test_a_field_that_is_not_computed_is_left_out_and_file_is_always_there(typed: Typed) -> None:
    done = typed("inspect", "song.lesson", "--only", "file, error ,title,")
    assert done.objects == [{"file": "song.lesson", "title": "Night Ferry"}]


def test_an_error_that_nobody_foresaw_is_one_sentence_and_the_other_files_go_on(
    typed: Typed, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy("song.lesson", "second.lesson")
    monkeypatch.setattr("tempfile.tempdir", str(Path.cwd()))

    def stumble(name: str) -> object:
        if name == "song.lesson":
            raise RecursionError("too deep")
        return song_named(name)

    monkeypatch.setattr("app.commands.inspect_songs.song_named", stumble)
    done = typed("inspect", "song.lesson", "second.lesson", "--only", "title")
    assert done.status == 1
    assert "RecursionError" in done.complaint
    assert done.objects[1] == {"file": "second.lesson", "title": "Night Ferry"}
    (report,) = Path.cwd().glob("phrasebench-report-*.txt")
    assert str(report) in done.complaint
    assert "too deep" in report.read_text(encoding="utf-8")


BOOK = """X:12
T:First
M:4/4
L:1/4
K:G
G A B c|d4|]

X:7
T:Second
M:3/4
L:1/4
K:D
D E F|A3|]
"""


def test_a_book_gives_a_line_for_each_tune_counted_by_place(typed: Typed) -> None:
    Path("book.abc").write_text(BOOK, encoding="utf-8")
    done = typed("inspect", "book.abc", "--only", "title,metre")
    assert (done.status, done.err) == (0, "")
    assert done.objects == [
        {"file": "book.abc#1", "title": "First", "metre": "4/4"},
        {"file": "book.abc#2", "title": "Second", "metre": "3/4"},
    ]


def test_one_tune_of_a_book_is_picked_by_its_place(typed: Typed) -> None:
    Path("book.abc").write_text(BOOK, encoding="utf-8")
    assert typed("inspect", "book.abc#2", "--only", "title").objects == [{"file": "book.abc#2", "title": "Second"}]
    past = typed("inspect", "book.abc#3", "--only", "title")
    assert past.status == 2
    assert past.complaint.startswith("book.abc")
    assert typed("convert", "book.abc#2", "--out", "second.lesson").status == 0


def test_a_file_without_a_title_is_called_by_its_own_name_without_its_folder(typed: Typed) -> None:
    Path("folder").mkdir()
    Path("folder/untitled tune.abc").write_text("X:1\nM:4/4\nL:1/4\nK:C\nC D E F|G4|]\n", encoding="utf-8")
    (inspection,) = typed("inspect", "folder/untitled tune.abc", "--only", "title").objects
    assert inspection["title"] == "untitled tune"


def test_a_command_that_needs_one_tune_lists_those_of_a_book(typed: Typed) -> None:
    Path("book.abc").write_text(BOOK, encoding="utf-8")
    for words in (
        ["plan", "book.abc", "--out", "plan"],
        ["convert", "book.abc", "--out", "a.mid"],
        ["play", "book.abc"],
    ):
        done = typed(*words)
        assert done.status == 2
        for listed in ("First", "Second", "#"):
            assert listed in done.complaint


# --- plan ------------------------------------------------------------------------------------------------------------


def test_plan_makes_its_folder_and_says_what_it_wrote(typed: Typed) -> None:
    done = typed("plan", "song.lesson", "--out", "new/plan")
    assert (done.status, done.err) == (0, "")
    assert sorted(Path(line).name for line in done.out.splitlines()) == PLAN_FILES
    assert sorted(path.name for path in Path("new/plan").iterdir()) == PLAN_FILES


def test_plan_reports_as_json(typed: Typed) -> None:
    (report,) = typed("plan", "song.lesson", "--out", "plan", "--json").objects
    assert report["file"] == "song.lesson"
    plan = json.loads(Path("plan/plan.json").read_bytes())
    assert report["segments"] == len(plan["segments"])
    assert report["seconds"] == pytest.approx(plan["seconds"], abs=0.01)


def test_plan_overwrites_nothing_unless_told_to(typed: Typed) -> None:
    Path("plan").mkdir()
    Path("plan/plan.csv").write_text("mine", encoding="utf-8")
    done = typed("plan", "song.lesson", "--out", "plan")
    assert done.status == 2
    assert done.complaint == (
        f"{Path('plan/plan.csv')}: this file is there already; choose another name or add --force."
    )
    assert [path.name for path in Path("plan").iterdir()] == ["plan.csv"]
    assert Path("plan/plan.csv").read_text(encoding="utf-8") == "mine"
    assert typed("plan", "song.lesson", "--out", "plan", "--force").status == 0
    assert Path("plan/plan.csv").read_text(encoding="utf-8") != "mine"


def test_plan_makes_no_folder_when_there_is_nothing_to_put_there(typed: Typed) -> None:
    done = typed("plan", "missing.lesson", "--out", "plan")
    assert done.status == 2
    assert not Path("plan").exists()


def test_plan_leaves_nothing_half_written_when_the_disk_is_full(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    written = []

    def full(handle: int) -> None:
        written.append(handle)
        if len(written) == 3:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    done = typed("plan", "song.lesson", "--out", "deep/plan")
    assert done.status == 2
    assert "no space left on device" in done.complaint
    assert not Path("deep").exists()


def test_plan_into_a_place_that_is_a_file_is_refused(typed: Typed) -> None:
    assert "this folder cannot be made" in typed("plan", "song.lesson", "--out", "song.lesson/plan").complaint


def test_plan_refuses_a_song_without_notes_in_a_sentence(typed: Typed) -> None:
    lesson = json.loads(DEMO.read_bytes())
    for part in lesson["parts"]:
        part["notes"] = []
    Path("silent.lesson").write_text(json.dumps(lesson), encoding="utf-8")
    done = typed("plan", "silent.lesson", "--out", "plan")
    assert done.status == 2
    assert done.complaint.startswith("silent.lesson: Night Ferry has no")
    assert not Path("plan").exists()
    assert typed("inspect", "silent.lesson", "--only", "notes").objects == [{"file": "silent.lesson", "notes": []}]


# --- convert ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ending", [".lesson", ".mid", ".musicxml"])
def test_convert_writes_by_the_names_ending(typed: Typed, ending: str) -> None:
    assert typed("convert", "song.lesson", "--out", f"copy{ending}") == Outcome(0, f"copy{ending}\n", "")
    original, copy = (read_song(name, Path(name).read_bytes()).song for name in ("song.lesson", f"copy{ending}"))
    right_hand = [(onset, note.pitch.midi) for onset, note in original.placed_notes() if note.hand is Hand.RIGHT]
    assert right_hand
    assert set(right_hand) <= {(onset, note.pitch.midi) for onset, note in copy.placed_notes()}


def test_a_lesson_converted_to_a_lesson_is_the_same_song(typed: Typed) -> None:
    typed("convert", "song.lesson", "--out", "copy.lesson")
    original, copy = (read_song(name, Path(name).read_bytes()).song for name in ("song.lesson", "copy.lesson"))
    assert copy == original


def test_convert_refuses_an_ending_that_cannot_be_written(typed: Typed) -> None:
    done = typed("convert", "song.lesson", "--out", "song.docx")
    assert done.status == 2
    assert ".lesson" in done.complaint
    assert not Path("song.docx").exists()


def test_convert_overwrites_nothing_unless_told_to(typed: Typed) -> None:
    Path("copy.lesson").write_text("mine", encoding="utf-8")
    assert "--force" in typed("convert", "song.lesson", "--out", "copy.lesson").complaint
    assert Path("copy.lesson").read_text(encoding="utf-8") == "mine"
    (report,) = typed("convert", "song.lesson", "--out", "copy.lesson", "--force", "--json").objects
    assert report["written"] == ["copy.lesson"]


def test_convert_into_a_folder_that_is_not_there_is_one_sentence(typed: Typed) -> None:
    assert "cannot be written" in typed("convert", "song.lesson", "--out", "nowhere/copy.lesson").complaint


def test_a_written_file_has_the_rights_of_any_new_file(typed: Typed) -> None:
    Path("plain").write_text("", encoding="utf-8")
    typed("convert", "song.lesson", "--out", "copy.lesson")
    assert Path("copy.lesson").stat().st_mode == Path("plain").stat().st_mode


# --- play ------------------------------------------------------------------------------------------------------------


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Schedule, tuple[Output, ...]]]:
    """What was given to the player, in place of sound."""
    given: list[tuple[Schedule, tuple[Output, ...]]] = []

    def play(schedule: Schedule, outputs: tuple[Output, ...], **_: object) -> str:
        given.append((schedule, outputs))
        return ", ".join(output.name for output in outputs)

    monkeypatch.setattr("app.engine.player.play_schedule", play)
    return given


Played = list[tuple[Schedule, tuple[Output, ...]]]


def test_play_plays_the_song_as_it_goes(typed: Typed, played: Played) -> None:
    assert typed("play", "song.lesson") == Outcome(0, "", "")
    ((schedule, outputs),) = played
    assert [event.part for event in schedule.events] == sorted(event.part for event in schedule.events)
    assert {event.part for event in schedule.events} == {1, 2, 3}
    assert {event.hand for event in schedule.events} == {Hand.RIGHT, Hand.LEFT}
    assert outputs == (Output("piano"),)


def test_play_plays_one_part_one_hand_slower_through_a_port(typed: Typed, played: Played) -> None:
    typed("play", "song.lesson", "--part", "2", "--hand", "right")
    (report,) = typed(
        "play", "song.lesson", "--part", "2", "--hand", "right", "--speed", "50", "--port", "Keys", "--json"
    ).objects
    (at_tempo, _), (slower, outputs) = played
    assert {event.part for event in slower.events} == {2}
    assert {event.hand for event in slower.events} == {Hand.RIGHT}
    assert slower.length == pytest.approx(2 * at_tempo.length)
    assert (outputs, report["output"], report["parts"]) == ((Output("Keys"),), "Keys", [2])


def test_play_plays_through_several_outputs_each_in_its_own_way(typed: Typed, played: Played) -> None:
    organ = "Organ; right 2/20; left 3; latency 40; silent keys"
    (report,) = typed(
        "play", "song.lesson", "--port", "Keys; latency -5", "--also", organ, "--also", "piano", "--json"
    ).objects
    assert report["output"] == "Keys, Organ, piano"
    assert played[0][1] == (
        Output("Keys", latency=-5),
        Output("Organ", right=HandChannel(2, 20), left=HandChannel(3), latency=40, local_off=True),
        Output("piano"),
    )
    typed("play", "song.lesson", "--also", "Organ")
    assert [output.name for output in played[1][1]] == ["piano", "Organ"]


def test_play_plays_through_an_output_as_the_window_has_kept_it(
    typed: Typed, played: Played, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "kept.json"
    organ = Output("Organ", right=HandChannel(2, 20), left=HandChannel(3), latency=40)
    kept.write_text(write_settings(Settings(ways=(organ,))))
    monkeypatch.setattr("app.commands.chosen_outputs.settings_path", lambda: kept)
    typed("play", "song.lesson", "--port", "Organ")
    typed("play", "song.lesson", "--port", "Organ; latency 0")
    assert [outputs for _, outputs in played] == [(organ,), (replace(organ, latency=0),)]


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (("--also", "Organ; loud"), "cannot be understood"),
        (("--also", "Organ; right two"), "cannot be understood"),
        (("--also", "; right 2"), "names no output"),
        (("--also", "Organ; right 10"), "the channel of a hand"),
        (("--also", "Organ; right 1/5; left 1/9"), "the channels of the hands"),
        (("--also", "Organ; latency 900"), "the latency of an output"),
        (("--port", "Organ", "--also", "Organ"), "named twice"),
        (("--to", "a.wav", "--also", "Organ"), "ask for one of the two"),
        (("--port", "Organ", "--soundfont", "a.sf2"), "leave --port away"),
    ],
)
def test_outputs_that_make_no_sense_are_wrong_use(
    typed: Typed, played: Played, words: tuple[str, ...], complaint: str
) -> None:
    done = typed("play", "song.lesson", *words)
    assert done.status == 2
    assert complaint in done.complaint
    assert not played


def test_a_sound_font_that_is_not_there_writes_nothing_and_says_why(typed: Typed) -> None:
    done = typed("play", "song.lesson", "--to", "a.wav", "--soundfont", "nowhere.sf2")
    assert done.status == 2
    assert "SoundFont" in done.complaint
    assert not Path("a.wav").exists()


def test_play_plays_a_run_through(typed: Typed, played: Played) -> None:
    (report,) = typed("play", "song.lesson", "--through", "2", "--json").objects
    assert report["parts"] == [1, 2]
    assert {event.part for event in played[0][0].events} == {1, 2}


def test_a_player_that_cannot_be_heard_says_what_can_be_done(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    def silent(*_: object, **__: object) -> str:
        raise DeviceError("No sound card answers.")

    monkeypatch.setattr("app.engine.player.play_schedule", silent)
    done = typed("play", "song.lesson")
    assert done.status == 2
    assert done.complaint.startswith("No sound card answers. ")
    assert "--to" in done.complaint


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--part", "4"], "song.lesson: there is no part 4; the song has parts 1 to 3."),
        (["--through", "0"], "song.lesson: there is no part 0; the song has parts 1 to 3."),
        (["--part", "1", "--through", "2"], "ask for one of them"),
        (["--to", "a.wav", "--port", "Keys"], "ask for one of the two"),
        (["--parts", "two", "--part", "1"], "ask for one of them"),
        (["--parts", "two"], "say for example"),
        (["--parts", "1, then 9"], "there is no part 9"),
        (["--bars", "two"], "song.lesson: what says the bars to play is 'two'; it must be such as"),
        (["--bars", "9"], "the bar to play is 9; it must be from 1 to 8"),
        (["--bars", "2", "--part", "1"], "ask for one of them"),
        (["--click", "900"], "the level of the click"),
        (["--segment", "99"], "the lesson has segments"),
        (["--segment", "2", "--times", "2"], "plays as it is recorded"),
        (["--times", "0"], "how often to play"),
        (["--metronome", "9"], "clicks to a beat"),
        (["--speed", "0"], "from 10 to 400 percent"),
        (["--speed", "nan"], "from 10 to 400 percent"),
        (["--to", "a.mp3"], "a.mp3: sound is written as .wav or .flac"),
    ],
)
def test_a_wish_that_means_nothing_is_one_line(typed: Typed, played: Played, words: list[str], says: str) -> None:
    done = typed("play", "song.lesson", *words)
    assert (done.status, done.out, played) == (2, "", [])
    assert says in done.complaint


def test_a_segment_and_a_row_of_parts_are_rendered_and_flac_holds_the_same_samples_as_wav(typed: Typed) -> None:
    (row,) = typed("play", "song.lesson", "--parts", "3, then 1-3", "--to", "row.flac", "--json").objects
    assert row["parts"] == [3, 1, 2, 3]
    (segment,) = typed("play", "song.lesson", "--segment", "2", "--to", "two.wav", "--json").objects
    assert typed("play", "song.lesson", "--segment", "2", "--to", "two.flac").status == 0
    with wave.open("two.wav") as sound:
        samples = sound.readframes(sound.getnframes())
        assert sound.getnframes() / sound.getframerate() > float(str(segment["seconds"]))
    assert bytes(miniaudio.flac_read_s16(Path("two.flac").read_bytes()).samples) == samples
    assert Path("two.flac").stat().st_size < 0.7 * Path("two.wav").stat().st_size


def test_play_renders_to_a_file_as_long_as_the_music_and_its_last_note(typed: Typed, played: Played) -> None:
    assert typed("play", "song.lesson", "--part", "1", "--to", "part.wav") == Outcome(0, "part.wav\n", "")
    assert played == []
    (report,) = typed("play", "song.lesson", "--part", "1", "--to", "part.wav", "--force", "--json").objects
    with wave.open("part.wav") as sound:
        seconds = sound.getnframes() / sound.getframerate()
        assert (sound.getnchannels(), sound.getsampwidth()) == (2, 2)
        loudest = max(abs(value) for value in array("h", sound.readframes(sound.getnframes())))
    assert isinstance(report["seconds"], float)
    assert report["seconds"] <= seconds < report["seconds"] + 30
    assert 1000 < loudest < 32_767


def test_play_overwrites_no_file(typed: Typed) -> None:
    Path("mine.wav").write_bytes(b"mine")
    assert "--force" in typed("play", "song.lesson", "--to", "mine.wav").complaint
    assert Path("mine.wav").read_bytes() == b"mine"


# --- the words themselves --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["inspekt"], "There is no command “inspekt”; did you mean “inspect”? See phrasebench --help."),
        (["song.lesson"], "phrasebench open FILE"),
        (["inspect"], "name one or more songs"),
        (["inspect", "song.lesson", "--jsno"], "--json?"),
        (["plan", "song.lesson"], "--out"),
        (["plan", "--out", "x"], "FILE"),
        (["plan", "a", "b", "--out", "x"], "“b” is one word too many"),
        (["convert", "song.lesson", "--out"], "--out"),
        (["play", "song.lesson", "--hand", "both"], "right"),
        (["play", "song.lesson", "--part", "two"], "--part"),
        (["--nonsense"], "--nonsense"),
    ],
)
def test_wrong_use_is_one_line_and_status_two(typed: Typed, words: list[str], says: str) -> None:
    done = typed(*words)
    assert (done.status, done.out) == (2, "")
    assert says in done.complaint


def test_the_version_and_the_help_are_results(typed: Typed) -> None:
    assert typed("--version") == Outcome(0, f"{__version__}\n", "")
    told = typed("--help")
    assert (told.status, told.err) == (0, "")
    for command in ("open", "inspect", "plan", "convert", "play"):
        assert command in told.out


def test_json_may_stand_before_the_command(typed: Typed) -> None:
    (report,) = typed("--json", "convert", "song.lesson", "--out", "copy.lesson").objects
    assert report["title"] == "Night Ferry"


def test_a_file_name_with_odd_letters_stays_on_one_line(typed: Typed) -> None:
    done = typed("inspect", "no\nsuch\x1b[31m.mid")
    assert done.status == 2
    assert "\x1b" not in done.complaint


def test_an_unforeseen_error_of_a_command_is_one_sentence(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(Path.cwd()))
    monkeypatch.setattr("app.commands.plan_lesson.song_named", lambda _: [][1])
    done = typed("plan", "song.lesson", "--out", "plan")
    assert done.status == 2
    assert "IndexError" in done.complaint
    assert "Traceback" not in done.err


# --- the window ------------------------------------------------------------------------------------------------------


def test_open_says_at_once_that_a_file_is_not_there(typed: Typed) -> None:
    assert typed("open", "missing.lesson").complaint.startswith("missing.lesson: there is no such file")


def test_open_says_that_there_is_no_screen(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.commands.open_window.has_screen", lambda: False)
    assert "no screen" in typed("open", "song.lesson").complaint
    assert "no screen" in typed().complaint


# --- in a process of its own -----------------------------------------------------------------------------------------


def _process(*words: str, folder: Path = HOME) -> subprocess.CompletedProcess[str]:
    surroundings = {**os.environ, "PHRASEBENCH_PREPARED": "1", "PYTHONPATH": str(HOME)}
    return subprocess.run(
        [sys.executable, "-m", "app", *words],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        env=surroundings,
        timeout=120,
    )


def test_the_module_runs_as_a_command(tmp_path: Path) -> None:
    done = _process("inspect", str(DEMO), "--only", "title", folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["title"] == "Night Ferry"


def test_no_command_but_open_loads_qt(tmp_path: Path) -> None:
    program = (
        "import sys; from app.main import main\n"
        f"statuses = [main(['inspect', {str(DEMO)!r}]), main(['plan', {str(DEMO)!r}, '--out', 'plan'])]\n"
        f"statuses.append(main(['convert', {str(DEMO)!r}, '--out', 'copy.lesson']))\n"
        f"statuses.append(main(['play', {str(DEMO)!r}, '--part', '1', '--to', 'part.wav']))\n"
        "loaded = [name for name in sys.modules if name.partition('.')[0] in ('PySide6', 'shiboken6')]\n"
        "sys.stderr.write(repr((statuses, loaded)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(HOME)},
        timeout=120,
    )
    assert done.stderr == "([0, 0, 0, 0], [])"


def test_a_reader_who_has_had_enough_ends_it_quietly(tmp_path: Path) -> None:
    names = [str(shutil.copy(DEMO, tmp_path / f"{number}.lesson")) for number in range(3)]
    with subprocess.Popen(
        [sys.executable, "-m", "app", "inspect", *names],
        cwd=HOME,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PHRASEBENCH_PREPARED": "1"},
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(1)
        process.stdout.close()
        assert process.stderr.read() == b""


def test_results_are_utf8_whatever_the_systems_language(tmp_path: Path) -> None:
    lesson = json.loads(DEMO.read_bytes()) | {"title": "Nächtliche Fähre"}
    (tmp_path / "song.lesson").write_text(json.dumps(lesson), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-X", "utf8=0", "-m", "app", "inspect", "song.lesson", "--only", "title"],
        cwd=tmp_path,
        capture_output=True,
        check=False,
        env={**os.environ, "PHRASEBENCH_PREPARED": "1", "PYTHONPATH": str(HOME), "PYTHONIOENCODING": "ascii"},
    )
    assert json.loads(done.stdout.decode("utf-8"))["title"] == "Nächtliche Fähre"


def test_output_that_cannot_be_written_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Full(io.StringIO):
        def write(self, text: str) -> int:
            del text
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(sys, "stdout", Full())
    assert main(["inspect", str(DEMO), "--only", "title"]) == 2
    assert "no space left on device" in capsys.readouterr().err
