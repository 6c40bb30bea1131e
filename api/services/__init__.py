"""One function a use case, in plain Python."""
