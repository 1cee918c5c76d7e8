"""Member files: one member with its sections, supports, loads and limits as TOML text."""

from .reading import load_member, member_from_toml
from .request import MemberRequest

__all__ = ["MemberRequest", "load_member", "member_from_toml"]
