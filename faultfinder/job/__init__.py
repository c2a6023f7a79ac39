"""The record of a job: events, the file they are kept in, what they come to, and who checks them afterwards."""
