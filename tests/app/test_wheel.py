"""An installed copy: the wheel holds all it needs and works from any folder."""

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from app import __version__

HOME = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built as ``pip install .`` builds it."""
    folder = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=HOME,
        capture_output=True,
        check=True,
    )
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command ``phrasebench`` of a copy installed into an environment of its own, beside the libraries here."""
    place = tmp_path_factory.mktemp("installed")
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(place)], check=True)
    python = place / "bin" / "python"
    site = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    libraries = dict.fromkeys((sysconfig.get_path("purelib"), sysconfig.get_path("platlib")))
    Path(site, "libraries.pth").write_text("\n".join([*libraries, ""]), encoding="utf-8")
    subprocess.run(
        [sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps", "--no-index", str(wheel)],
        capture_output=True,
        check=True,
    )
    return place / "bin" / "phrasebench"


def _run(command: Path, folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    surroundings = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return subprocess.run(
        [command, *words], cwd=folder, capture_output=True, text=True, check=False, env=surroundings, timeout=120
    )


def test_the_wheel_holds_one_folder_with_code_assets_and_demo_songs(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert {name.split("/")[0] for name in names} == {"phrasebench", f"phrasebench-{__version__}.dist-info"}
    packed = {name.removeprefix("phrasebench/") for name in names}
    for room in ("app", "core"):
        code = {str(path.relative_to(HOME)) for path in (HOME / room).rglob("*.py")}
        assert code
        assert code <= packed
    given = {
        path.relative_to(HOME).as_posix()
        for room in ("assets", "demo_songs")
        for path in (HOME / room).rglob("*")
        if path.is_file() and path.suffix not in (".py", ".pyc")
    }
    assert "assets/fonts/metrics.json" in given
    assert "demo_songs/night_ferry.lesson" in given
    assert given <= packed
    assert not [name for name in packed if name.startswith("tests") or "__pycache__" in name]
    assert f"phrasebench-{__version__}.dist-info/licenses/LICENSE" in names


def test_an_installed_copy_inspects_a_song_from_any_folder(installed: Path, tmp_path: Path) -> None:
    (tmp_path / "song.lesson").write_bytes((HOME / "demo_songs" / "night_ferry.lesson").read_bytes())
    done = _run(installed, tmp_path, "inspect", "song.lesson", "--only", "title,metre")
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout) == {"file": "song.lesson", "title": "Night Ferry", "metre": "4/4"}


def test_an_installed_copy_writes_a_plan_with_its_own_fonts(installed: Path, tmp_path: Path) -> None:
    (tmp_path / "song.lesson").write_bytes((HOME / "demo_songs" / "night_ferry.lesson").read_bytes())
    done = _run(installed, tmp_path, "plan", "song.lesson", "--out", "plan")
    assert (done.returncode, done.stderr) == (0, "")
    assert sorted(path.name for path in (tmp_path / "plan").iterdir()) == [
        "plan.csv",
        "plan.html",
        "plan.json",
        "plan.pdf",
    ]
    assert b"AtkinsonHyperlegible" in (tmp_path / "plan" / "plan.pdf").read_bytes()


def test_an_installed_copy_finds_its_demo_songs_and_passes_its_place_on(installed: Path, tmp_path: Path) -> None:
    program = (
        "import subprocess, sys; sys.argv = ['phrasebench', '--version']\n"
        "from phrasebench.app.installed import console; console()\n"
        "from app.resources import demo_songs, HOME; print(HOME.name, [song.stem for song in demo_songs()][0])\n"
        "child = [sys.executable, '-c', 'import core.song.song; print(core.song.song.Song.__name__)']\n"
        "print(subprocess.run(child, capture_output=True, text=True, check=True).stdout)\n"
    )
    done = _run(installed.with_name("python"), tmp_path, "-c", program)
    assert done.stderr == ""
    assert done.stdout.split() == [__version__, "phrasebench", "night_ferry", "Song"]
