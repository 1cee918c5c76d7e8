"""The stress of each action: unit fields, load cases, extremes, what joints carry."""
