"""What a yard asks of its own boats beyond every rulebook; nothing is asked where it has no house rule."""
