"""Section files: a cross-section as TOML text."""

from .section_file import load_section, section_from_toml

__all__ = ["load_section", "section_from_toml"]
