"""Rules of the family overcurrent."""
