"""What a drawing cannot show: the questions for eyes and meters, and the rule that reads their answers."""
