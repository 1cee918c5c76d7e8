"""What is moved by hand: a local server and its page, on the same files as the commands."""
