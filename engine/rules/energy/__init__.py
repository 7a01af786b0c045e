"""Rules about what batteries are charged with and what is asked of them: all of common practice, all advice."""
