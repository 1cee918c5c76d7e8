"""The exact beam: elements, contacts, the system, its solution and stability."""
