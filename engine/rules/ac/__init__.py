"""Rules of the family ac."""
