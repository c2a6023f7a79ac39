"""What may be asked for, one module each: it shows, understands, helps with and retells itself."""
