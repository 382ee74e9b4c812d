"""What holds for tests of the window: nothing may be left behind; real MIDI ports need python-rtmidi."""

from importlib.util import find_spec

from tests.helpers.window_fixtures import opened, quiet_afterwards

__all__ = ["opened", "quiet_afterwards"]

if find_spec("rtmidi"):
    from tests.helpers.port_fixtures import playing, ports

    __all__ += ["playing", "ports"]
    collect_ignore: list[str] = []
else:
    collect_ignore = ["test_playing_along.py", "test_real_ports.py"]
