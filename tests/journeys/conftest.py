"""What holds for tests of the window: nothing may be left behind; real MIDI ports need python-rtmidi."""

from importlib.util import find_spec

from tests.helpers.window_fixtures import opened, quiet_afterwards

__all__ = ["opened", "quiet_afterwards"]

collect_ignore = [] if find_spec("rtmidi") else ["test_real_ports.py"]
