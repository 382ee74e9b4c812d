"""The Camera workspace: the running order, and its words large enough to be read from the piano."""
