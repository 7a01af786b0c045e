"""Rules of the family record."""
