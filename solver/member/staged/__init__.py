"""Members built in stages: what stands, what is loaded, and what each stage locks in."""
