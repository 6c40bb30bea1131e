"""Whole seasons laid out: the invented one of the demo, and any with something changed."""
