"""The member as its user describes it."""
