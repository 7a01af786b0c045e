"""Rules on AC live parts that a hand can reach."""
