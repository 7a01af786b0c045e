"""Rules of the family conductors."""
