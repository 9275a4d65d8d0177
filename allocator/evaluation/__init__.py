"""A layout completed and measured: what follows from its decisions, whatever made it."""
