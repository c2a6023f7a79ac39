"""What the steps of an instruction do: acts, and the words that fit or contradict them."""
