"""The rules of the house that hold for core as a whole."""

import subprocess
import sys
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
MODULES = sorted(
    ".".join(path.relative_to(HOME).with_suffix("").parts).removesuffix(".__init__")
    for path in (HOME / "core").rglob("*.py")
)
SLOW_OR_FOREIGN = ("PySide6", "shiboken6", "rtmidi", "miniaudio", "music21", "typst")


def test_importing_all_of_core_loads_neither_qt_nor_devices_nor_what_is_slow_to_import() -> None:
    program = (
        "import importlib, sys\n"
        f"for module in {MODULES!r}: importlib.import_module(module)\n"
        f"print([name for name in {SLOW_OR_FOREIGN!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], cwd=HOME, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_no_file_of_the_program_is_longer_than_five_hundred_lines() -> None:
    files = [path for room in ("app", "core") for path in (HOME / room).rglob("*.py")]
    lengths = {str(path.relative_to(HOME)): len(path.read_text(encoding="utf-8").splitlines()) for path in files}
    assert {name: length for name, length in lengths.items() if length > 500} == {}


def test_every_folder_of_the_program_says_what_it_is_for() -> None:
    folders = {path.parent for room in ("app", "core") for path in (HOME / room).rglob("*.py")}
    silent = [
        str(folder.relative_to(HOME))
        for folder in folders
        if not (folder / "__init__.py").is_file() or '"""' not in (folder / "__init__.py").read_text(encoding="utf-8")
    ]
    assert sorted(silent) == []
