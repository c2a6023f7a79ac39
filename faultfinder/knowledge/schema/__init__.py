"""The keys of the rule language and how the value of each is read."""
