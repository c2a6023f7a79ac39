"""How a conversation reaches a terminal or a pipe, and what is shown there."""
