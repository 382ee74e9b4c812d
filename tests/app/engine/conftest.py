"""Real MIDI ports are tested through python-rtmidi, which has wheels for Python up to 3.12 only."""

from importlib.util import find_spec

NEED_PORTS = ["test_process.py", "test_lateness.py", "test_killed_engine.py", "test_hot_plug.py"]
collect_ignore = [] if find_spec("rtmidi") else NEED_PORTS
