"""Asked in one line, without a conversation: an assessment, a visit prepared, a logged cycle read."""
