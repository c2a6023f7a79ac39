"""The only writer of files: a job's record on disk."""
