"""Every sentence of the program that a person reads, in one catalogue, and how figures are said.

A folder here is a language; each of its modules holds the sentences of one place where they are read. What stands in
rule files is the pack's own, and what is told to whoever writes rules, cases or practice files stands with its check.
"""
