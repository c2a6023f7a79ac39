"""For whoever writes rules: mends, accepted warnings, renaming, the editor's schema, the guide's tables."""
