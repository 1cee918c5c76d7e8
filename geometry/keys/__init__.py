"""What files may say: every table and key of every kind of file, described once."""

from .description import FILES, FileKind, Key, Table
from .lookup import found

__all__ = ["FILES", "FileKind", "Key", "Table", "found"]
