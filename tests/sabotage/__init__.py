"""Proof by sabotage: faults put into the clean sample boats one at a time, and what a check must say of each."""
