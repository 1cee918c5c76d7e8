"""What is typed: the `soapfilm` command, its options, and the wording of what goes wrong."""
