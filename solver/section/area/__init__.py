"""Area properties, plastic moduli and rigidities."""
