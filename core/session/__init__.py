"""The camera session: running order, script, timing, and everything computed for a part."""
