"""What holds for tests of the window: nothing may be left behind."""

from tests.helpers.window_fixtures import opened, quiet_afterwards

__all__ = ["opened", "quiet_afterwards"]
