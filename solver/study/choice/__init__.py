"""Choosing: sections compared, sized and traded off."""
