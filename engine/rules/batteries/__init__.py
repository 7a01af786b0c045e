"""Rules on batteries: their posts, their kind, what disconnects them."""
