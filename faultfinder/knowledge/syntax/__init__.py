"""Text of rule files to trees with places."""
