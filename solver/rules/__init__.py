"""Rules of design codes, applied where a member file names the code; each row says its source."""
