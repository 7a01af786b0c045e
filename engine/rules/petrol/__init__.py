"""Rules on sparks where petrol may be."""
