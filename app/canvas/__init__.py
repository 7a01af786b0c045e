"""The drawing surface: painting, the view, and the tools that work on it."""
