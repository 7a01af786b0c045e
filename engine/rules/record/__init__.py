"""Rules on the record itself: names, numbers, labels, returns, contradictions."""
