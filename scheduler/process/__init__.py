"""Food arithmetic as pure functions, one subject a file; values and sources lie in reference/."""
