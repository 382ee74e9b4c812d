"""What holds for every test: windows that nobody sees, and properties tried the same way on every machine."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["PHRASEBENCH_LANGUAGE"] = "en"  # what is said is compared with English, whatever the machine speaks

# Two cores are shared by everything a machine does while it tests: a slow example is no failure. Examples are drawn
# the same way every time, so that a run says something about the change under test and not about the draw.
settings.register_profile(
    "phrasebench",
    deadline=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("phrasebench")
