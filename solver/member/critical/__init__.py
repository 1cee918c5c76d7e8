"""Elastic critical loads of members whose sections deform, and what they do to second order."""
