"""Rules on grounding, bonding and lightning conductors."""
