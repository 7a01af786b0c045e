"""Rules of the family exposed_ac."""
