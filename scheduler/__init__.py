"""The planning core: no HTTP, no SQL, no templates; it runs by itself."""
