"""Short circuits: whether each device opens, and opens what it must; what conductors stand; which device opens first."""
