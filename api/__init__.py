"""soapfilm: torsion of real members, from any outline to J with its error, to the member."""
