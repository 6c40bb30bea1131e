"""Plans in a database: the only importer of SQLAlchemy."""

from api.store.shelf import DatabaseShelf, open_shelf

__all__ = ["DatabaseShelf", "open_shelf"]
