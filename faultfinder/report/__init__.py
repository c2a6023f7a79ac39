"""A job written up from its record: model, timeline, findings, measurements, and the forms they are shown in."""
