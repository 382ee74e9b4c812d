"""Everything Phrasebench computes: pure functions over frozen values, with no window, device, thread or clock."""
