"""From a bare Python to a program that runs."""

import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from app.bootstrap import FOLDER, CannotStart, system_packages
from app.bootstrap.environment import (
    STAMP,
    Stamp,
    State,
    examine,
    identity,
    interpreter_in,
    read_stamp,
    write_stamp,
)
from app.bootstrap.exclusive import alone
from app.bootstrap.installing import Steps, reason
from app.bootstrap.lock import Wanted, newest_python, package_names, pins, wanted
from app.bootstrap.making import sound_environment
from app.bootstrap.starting import hand_over, opens_window
from app.bootstrap.system_libraries import Library, missing
from app.bootstrap.system_packages import Circumstances, Course, install_command, provide
from app.bootstrap.telling import REWRITE, Teller

HOME = Path(__file__).resolve().parents[2]

LOCK = """# Made by .ci/make_lock.py with Python 3.11, 3.12, 3.13; do not edit by hand.
numpy==2.4.6
pygame-ce==2.5.8 ; python_version == '3.13'
python-rtmidi==1.5.8 ; python_version == '3.11' or python_version == '3.12'
"""
PYPROJECT = """
[project]
name = "phrasebench"
dependencies = ["numpy>=1.26,<3", "python-rtmidi>=1.5.8,<2; python_version < '3.13'"]
[project.optional-dependencies]
tests = ["pytest>=8"]
"""


class Page:
    """A screen that keeps what is written on it."""

    def __init__(self, *, terminal: bool = False) -> None:
        self.text = ""
        self.terminal = terminal

    def write(self, text: str) -> int:
        self.text += text
        return len(text)

    def flush(self) -> None:
        pass

    def isatty(self) -> bool:
        return self.terminal


@pytest.fixture
def page() -> Page:
    return Page()


@pytest.fixture
def teller(page: Page) -> Teller:
    return Teller(page, seconds=lambda: 0.0)


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A checkout that holds what the bootstrap reads, and wants nothing installed."""
    (tmp_path / ".ci").mkdir()
    (tmp_path / ".ci" / "lock.txt").write_text("# Made with Python 3.99\n", encoding="utf-8")
    (tmp_path / ".ci" / "lock-tests.txt").write_text("# Made with Python 3.99\n", encoding="utf-8")
    (tmp_path / "pyproject.toml").write_text(PYPROJECT, encoding="utf-8")
    return tmp_path


# --- what to install -------------------------------------------------------------------------------------------------


def test_a_lock_names_the_newest_python_it_was_made_with() -> None:
    assert newest_python(LOCK) == (3, 13)
    with pytest.raises(ValueError, match="names no Python"):
        newest_python("numpy==2.4.6\n")


def test_only_the_lines_for_this_python_are_installed() -> None:
    assert pins(LOCK, (3, 11)) == ["numpy==2.4.6", "python-rtmidi==1.5.8"]
    assert pins(LOCK, (3, 13)) == ["numpy==2.4.6", "pygame-ce==2.5.8"]


def test_a_line_that_is_no_exact_version_is_refused() -> None:
    with pytest.raises(ValueError, match="numpy>=2"):
        pins("# Python 3.11\nnumpy>=2\n", (3, 11))


def test_a_python_newer_than_the_lock_gets_the_compatible_ranges(checkout: Path) -> None:
    (checkout / ".ci" / "lock.txt").write_text(LOCK, encoding="utf-8")
    exact, ranges = wanted(checkout, "app", (3, 13)), wanted(checkout, "app", (3, 14))
    assert exact.exact
    assert "numpy==2.4.6" in exact.requirements
    assert not ranges.exact
    assert ranges.requirements[0] == "numpy>=1.26,<3"


def test_the_tests_need_what_the_program_needs_and_more(checkout: Path) -> None:
    (checkout / ".ci" / "lock.txt").write_text("# Python 3.11\nnumpy==2.4.6\n", encoding="utf-8")
    (checkout / ".ci" / "lock-tests.txt").write_text("# Python 3.11\npytest==9.2.0\n", encoding="utf-8")
    assert wanted(checkout, "app", (3, 11)).requirements == ("numpy==2.4.6",)
    assert wanted(checkout, "tests", (3, 11)).requirements == ("numpy==2.4.6", "pytest==9.2.0")
    assert wanted(checkout, "tests", (3, 14)).requirements[-1] == "pytest>=8"


def test_a_checkout_without_its_lock_says_so(checkout: Path) -> None:
    (checkout / ".ci" / "lock.txt").unlink()
    with pytest.raises(CannotStart, match=r"what to install cannot be read"):
        wanted(checkout, "app", (3, 11))


def test_the_projects_own_lock_fits_its_ranges_by_name() -> None:
    for python in ((3, 11), (3, 12), (3, 13)):
        locked = package_names(wanted(HOME, "tests", python).requirements)
        ranges = wanted(HOME, "tests", (3, 99)).requirements
        asked = {
            name
            for line in ranges
            for name in package_names((line,))
            if not (name == "python-rtmidi" and python >= (3, 13)) and not (name == "pygame-ce" and python < (3, 13))
        }
        assert asked <= locked


# --- the state of an environment -------------------------------------------------------------------------------------

NEED = Wanted("app", ("numpy==2.4.6",), "a-mark", exact=True)


def _made(environment: Path, **changes: object) -> Path:
    interpreter = interpreter_in(environment)
    interpreter.parent.mkdir(parents=True)
    interpreter.write_text("", encoding="utf-8")
    stamp = Stamp("this python", str(environment.resolve()), whole=True, marks={"app": NEED.mark})
    write_stamp(environment, replace(stamp, **changes))  # type: ignore[arg-type]  # the fields have several types
    return environment


@pytest.mark.parametrize(
    ("changes", "state"),
    [
        ({}, State.SOUND),
        ({"whole": False}, State.HALF_MADE),
        ({"place": "/somewhere/else/.venv"}, State.MOVED),
        ({"python": "another python"}, State.OTHER_PYTHON),
        ({"marks": {"app": "an older mark"}}, State.OUTDATED),
        ({"marks": {"tests": NEED.mark}}, State.OUTDATED),
    ],
)
def test_a_stamp_tells_the_state_of_an_environment(tmp_path: Path, changes: dict[str, object], state: State) -> None:
    assert examine(_made(tmp_path / FOLDER, **changes), NEED, "this python") is state


def test_an_environment_that_is_not_there_is_missing(tmp_path: Path) -> None:
    assert examine(tmp_path / FOLDER, NEED, "this python") is State.MISSING


def test_an_environment_whose_interpreter_is_gone_is_half_made(tmp_path: Path) -> None:
    environment = _made(tmp_path / FOLDER)
    interpreter_in(environment).unlink()
    assert examine(environment, NEED, "this python") is State.HALF_MADE


def test_a_dangling_link_in_its_place_is_half_made(tmp_path: Path) -> None:
    (tmp_path / FOLDER).symlink_to(tmp_path / "nowhere")
    assert examine(tmp_path / FOLDER, NEED, "this python") is State.HALF_MADE


@pytest.mark.parametrize("text", ["", "{", "[]", '{"python": "x"}', '{"unknown": 1}'])
def test_a_stamp_that_cannot_be_read_is_no_stamp(tmp_path: Path, text: str) -> None:
    environment = _made(tmp_path / FOLDER)
    (environment / STAMP).write_text(text, encoding="utf-8")
    assert read_stamp(environment) is None
    assert examine(environment, NEED, "this python") is State.HALF_MADE


def test_an_environment_made_by_hand_is_taken_over(tmp_path: Path) -> None:
    environment = _made(tmp_path / FOLDER)
    (environment / STAMP).unlink()
    (environment / "pyvenv.cfg").write_text("home = /usr/bin\n", encoding="utf-8")
    assert examine(environment, NEED, "this python") is State.UNSTAMPED


def test_an_environment_that_nobody_may_look_into_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    environment = _made(tmp_path / FOLDER)

    def locked(_: Path) -> bool:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "exists", locked)
    with pytest.raises(CannotStart, match=r"may not be used.*Permission denied.*to a place of your own"):
        examine(environment, NEED, "this python")


def test_an_interpreter_that_cannot_be_started_is_one_sentence(tmp_path: Path) -> None:
    python = tmp_path / FOLDER / "bin" / "python"
    with pytest.raises(CannotStart, match=r"cannot be started.*remove .*\.venv"):
        hand_over(str(python), "app", [], tmp_path, {})


@pytest.fixture
def installed(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, ...]]:
    """What was to be installed, written down; the environments are real but have no pip, which is slow to unpack."""
    asked: list[tuple[str, ...]] = []
    monkeypatch.setattr("app.bootstrap.making.VENV", ("venv", "--without-pip"))
    monkeypatch.setattr("app.bootstrap.making.install", lambda _, wanted, *__: asked.append(wanted))
    monkeypatch.setattr("app.bootstrap.making.remove", lambda _, names: asked.append(("remove", *names)))
    return asked


def _lock(checkout: Path, *lines: str) -> None:
    (checkout / ".ci" / "lock.txt").write_text("\n".join(["# Made with Python 3.99", *lines, ""]), encoding="utf-8")


def test_an_environment_is_made_once(
    checkout: Path, page: Page, teller: Teller, installed: list[tuple[str, ...]]
) -> None:
    _lock(checkout, "numpy==2.4.6")
    python = sound_environment(checkout, "app", teller)
    assert page.text.startswith(f"Making the environment in {checkout / FOLDER}\n")
    where = subprocess.run([python, "-c", "import sys; print(sys.prefix)"], capture_output=True, text=True, check=True)
    assert Path(where.stdout.strip()).resolve() == (checkout / FOLDER).resolve()
    stamp = read_stamp(checkout / FOLDER)
    assert stamp is not None
    assert (stamp.whole, stamp.python, stamp.packages) == (True, identity(), ["numpy"])

    page.text = ""
    assert sound_environment(checkout, "app", teller) == python
    assert (page.text, installed) == ("", [("numpy==2.4.6",)])


def test_a_new_lock_brings_an_environment_up_to_date_and_takes_out_what_nothing_asks_for(
    checkout: Path, page: Page, teller: Teller, installed: list[tuple[str, ...]]
) -> None:
    _lock(checkout, "numpy==2.4.6", "mido==1.3.3")
    sound_environment(checkout, "app", teller)
    (checkout / FOLDER / "kept").write_text("", encoding="utf-8")
    _lock(checkout, "numpy==2.5.0")
    sound_environment(checkout, "app", teller)
    assert "up to date" in page.text
    assert installed[1:] == [("numpy==2.5.0",), ("remove", "mido")]
    assert (checkout / FOLDER / "kept").exists()


def test_an_environment_serves_the_program_and_its_tests(
    checkout: Path, teller: Teller, installed: list[tuple[str, ...]]
) -> None:
    _lock(checkout, "numpy==2.4.6")
    (checkout / ".ci" / "lock-tests.txt").write_text("# Python 3.99\npytest==9.2.0\n", encoding="utf-8")
    sound_environment(checkout, "app", teller)
    sound_environment(checkout, "tests", teller)
    sound_environment(checkout, "app", teller)
    assert installed == [("numpy==2.4.6",), ("numpy==2.4.6", "pytest==9.2.0")]


def test_an_environment_made_for_the_tests_serves_the_program(
    checkout: Path, teller: Teller, installed: list[tuple[str, ...]]
) -> None:
    _lock(checkout, "numpy==2.4.6")
    sound_environment(checkout, "tests", teller)
    sound_environment(checkout, "app", teller)
    assert installed == [("numpy==2.4.6",)]


@pytest.mark.usefixtures("installed")
def test_what_was_left_half_made_is_made_anew(checkout: Path, page: Page, teller: Teller) -> None:
    sound_environment(checkout, "app", teller)
    stamp = read_stamp(checkout / FOLDER)
    assert stamp is not None
    (checkout / FOLDER / "left behind").write_text("", encoding="utf-8")
    write_stamp(checkout / FOLDER, replace(stamp, whole=False))
    sound_environment(checkout, "app", teller)
    assert "since the present one is half-made" in page.text
    assert not (checkout / FOLDER / "left behind").exists()


def test_a_failure_while_installing_leaves_it_marked_half_made(
    checkout: Path, teller: Teller, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise CannotStart("no index")

    monkeypatch.setattr("app.bootstrap.making.VENV", ("venv", "--without-pip"))
    monkeypatch.setattr("app.bootstrap.making.install", fail)
    with pytest.raises(CannotStart, match="no index"):
        sound_environment(checkout, "app", teller)
    assert examine(checkout / FOLDER, wanted(checkout, "app", (3, 11)), identity()) is State.HALF_MADE


def test_a_debian_without_ensurepip_is_told_the_package(
    checkout: Path, teller: Teller, monkeypatch: pytest.MonkeyPatch
) -> None:
    nobody = Circumstances(ci=False, root=False, terminal=False, apt=True, sudo=True)
    monkeypatch.setattr("app.bootstrap.making.find_spec", lambda _: None)
    monkeypatch.setattr(Circumstances, "here", classmethod(lambda _: nobody))
    with pytest.raises(CannotStart, match="apt-get install --yes --no-install-recommends python3-venv"):
        sound_environment(checkout, "app", teller)
    assert not (checkout / FOLDER).exists()


def test_a_folder_that_is_not_ones_own_gets_one_sentence(tmp_path: Path) -> None:
    with (
        pytest.raises(CannotStart, match="no environment can be made in this folder"),
        alone(tmp_path / "missing" / ".venv.lock", lambda: None),
    ):
        pass


def test_two_starts_wait_for_one_another(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from app.bootstrap.exclusive import alone\n"
        f"with alone(Path({str(tmp_path / 'lock')!r}), lambda: print('waiting', flush=True)):\n"
        "    print('inside', flush=True)\n"
    )
    with alone(tmp_path / "lock", lambda: pytest.fail("nobody else holds it")):
        other = subprocess.Popen([sys.executable, "-c", program], cwd=HOME, stdout=subprocess.PIPE, text=True)
        assert other.stdout is not None
        assert other.stdout.readline() == "waiting\n"
    assert other.communicate(timeout=30)[0] == "inside\n"


# --- what pip says ---------------------------------------------------------------------------------------------------


def test_pips_lines_become_steps() -> None:
    steps = Steps(2)
    assert steps.of("Collecting numpy==2.4.6 (from -r requirements.txt (line 1))\n") == "1 of 2: numpy"
    assert (
        steps.of("  Downloading numpy-2.4.6-cp311-linux.whl (16.9 MB)\n")
        == "1 of 2: numpy-2.4.6-cp311-linux.whl, 16.9 MB"
    )
    assert steps.of("  Downloading mido-1.3.3-py3-none-any.whl (54 kB)\n") == ""
    assert steps.of("Collecting mido==1.3.3\n") == "2 of 2: mido"
    assert steps.of("Collecting colorama\n") == "2 of 2: colorama"
    assert steps.of("Installing collected packages: mido, numpy\n") == "unpacking 2 packages"


def test_the_reason_for_a_failure_is_pips_last_error() -> None:
    said = [
        "Collecting numpy\n",
        "ERROR: Could not find a version\n",
        "ERROR: No matching distribution for numpy.\n",
        "\n",
    ]
    assert reason(said) == "No matching distribution for numpy"
    assert reason(["Killed\n"]) == "Killed"
    cut_off = ["WARNING: Retrying (Retry(total=0)) after connection broken\n", "ERROR: No matching distribution\n"]
    assert reason(cut_off) == "the package index could not be reached"
    assert reason([]) == "pip said nothing"


# --- the system's libraries ------------------------------------------------------------------------------------------

AT_HOME = Circumstances(ci=False, root=False, terminal=True, apt=True, sudo=True)


@pytest.mark.parametrize(
    ("circumstances", "course"),
    [
        (AT_HOME, Course.ASK),
        (replace(AT_HOME, root=True), Course.ASK),
        (replace(AT_HOME, root=True, terminal=False), Course.INSTALL),
        (replace(AT_HOME, ci=True, root=True, terminal=False), Course.INSTALL),
        (replace(AT_HOME, ci=True), Course.INSTALL),
        (replace(AT_HOME, terminal=False), Course.NAME),
        (replace(AT_HOME, sudo=False), Course.NAME),
        (replace(AT_HOME, apt=False), Course.NAME),
        (replace(AT_HOME, apt=False, ci=True, root=True), Course.NAME),
    ],
)
def test_who_starts_it_decides_whether_packages_are_installed(circumstances: Circumstances, course: Course) -> None:
    assert circumstances.course() is course


def test_missing_libraries_are_named_by_their_packages() -> None:
    libraries = (Library("libegl1", "libEGL.so.1"), Library("libgl1", "libGL.so.1"))
    assert missing(libraries, loads=lambda file: file == "libGL.so.1") == (
        ["libegl1"] if sys.platform.startswith("linux") else []
    )


def test_somebody_who_cannot_be_asked_gets_the_exact_command(teller: Teller) -> None:
    nobody = replace(AT_HOME, terminal=False)
    with pytest.raises(CannotStart) as trouble:
        provide(["libegl1", "libgl1"], "to open a window", teller, nobody)
    assert "libegl1 and libgl1" in str(trouble.value)
    assert str(trouble.value).endswith("sudo apt-get install --yes --no-install-recommends libegl1 libgl1")


def test_root_needs_no_sudo() -> None:
    assert install_command(["libegl1"], replace(AT_HOME, root=True))[0] == "apt-get"


def test_a_system_without_apt_gets_the_names_alone(teller: Teller) -> None:
    with pytest.raises(CannotStart, match="this system's own package tool"):
        provide(["libegl1"], "to open a window", teller, replace(AT_HOME, apt=False))


def test_whoever_says_no_gets_the_command_and_nothing_is_run(
    teller: Teller, page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("subprocess.run", lambda *_, **__: pytest.fail("nothing may be run"))
    questions: list[str] = []

    def no(question: str) -> str:
        questions.append(question)
        return "n\n"

    with pytest.raises(CannotStart, match="apt-get install"):
        provide(["libegl1"], "to open a window", teller, AT_HOME, no)
    assert "libegl1" in page.text
    assert "sudo apt-get install --yes --no-install-recommends libegl1" in questions[0]


@pytest.fixture
def apt(monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[list[list[str]], list[int]]]:
    """A machine whose apt-get writes down what it is asked and answers with the statuses given."""
    asked: list[list[str]] = []
    statuses: list[int] = []

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        asked.append([word for word in command if word not in system_packages.FAST_APT])
        return subprocess.CompletedProcess(command, statuses.pop(0), stdout="E: no such package\n")

    monkeypatch.setattr("subprocess.run", run)
    yield asked, statuses
    assert statuses == []


def test_a_machine_that_has_no_lists_of_packages_yet_fetches_them(
    teller: Teller, apt: tuple[list[list[str]], list[int]]
) -> None:
    asked, statuses = apt
    statuses[:] = [100, 0, 0]
    machine = replace(AT_HOME, ci=True, root=True, terminal=False)
    provide(["libegl1"], "for the tests", teller, machine)
    install = ["apt-get", "install", "--yes", "--no-install-recommends", "libegl1"]
    assert asked == [install, ["apt-get", "update"], install]


def test_apt_that_fails_twice_passes_its_reason_on(teller: Teller, apt: tuple[list[list[str]], list[int]]) -> None:
    apt[1][:] = [100, 0, 100]
    with pytest.raises(CannotStart, match=r"apt-get failed \(E: no such package\); run it by hand: apt-get install"):
        provide(["libegl1"], "for the tests", teller, replace(AT_HOME, ci=True, root=True, terminal=False))


# --- starting --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "opens"),
    [
        ([], True),
        (["open", "song.lesson"], True),
        (["--json"], True),
        (["plan", "song.lesson", "--out", "plan"], False),
        (["inspect", "open.lesson"], False),
        (["--json", "inspect", "a.mid"], False),
        (["--help"], False),
        (["open", "--help"], False),
        (["--version"], False),
        (["opne"], False),
    ],
)
def test_only_a_command_line_that_opens_the_window_needs_its_libraries(words: list[str], opens: bool) -> None:
    assert opens_window(words) is opens


def test_at_a_terminal_one_line_moves_and_elsewhere_lines_follow_one_another() -> None:
    clock = iter([0.0, 61.0, 62.0, 75.0])
    moving = Teller(Page(terminal=True), seconds=lambda: next(clock))
    moving.begin("Making the environment")
    moving.step("1 of 2: numpy")
    moving.tick()
    moving.end("Ready")
    assert isinstance(moving.screen, Page)
    assert moving.screen.text == (
        f"Making the environment\n{REWRITE}  1:01  1 of 2: numpy{REWRITE}  1:02  1 of 2: numpy{REWRITE}Ready (75 s)\n"
    )
    plain = Teller(Page(), seconds=lambda: 0.0)
    plain.begin("Making the environment")
    plain.step("1 of 2: numpy")
    plain.tick()
    plain.end("Ready")
    assert isinstance(plain.screen, Page)
    assert plain.screen.text == "Making the environment\n  1 of 2: numpy\nReady (0 s)\n"


def test_a_stamp_is_read_back_as_it_was_written(tmp_path: Path) -> None:
    stamp = Stamp("cpython 3.11 linux x86_64", str(tmp_path), whole=True, marks={"app": "m"}, packages=["numpy"])
    write_stamp(tmp_path, stamp)
    assert read_stamp(tmp_path) == stamp
    assert json.loads((tmp_path / STAMP).read_text(encoding="utf-8"))["whole"] is True
