"""One helper for slow work: it runs in a process of its own, and its result or error comes back on the main thread."""
