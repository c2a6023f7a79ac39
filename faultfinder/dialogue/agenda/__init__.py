"""What there is to do in a job as it stands: steps on offer, proofs, the last round, the end."""
