"""What each page shows: one documented value a page."""
