"""The pages, on top of the service."""
