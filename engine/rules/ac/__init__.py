"""Rules on the AC system: inlet, residual-current protection, earths, neutrals, sources that meet."""
