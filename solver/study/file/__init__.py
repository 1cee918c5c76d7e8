"""Study files: what is changed, in which file, over which points."""
