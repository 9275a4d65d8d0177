"""Changes of a problem: what would be written elsewhere in its tables, in words and as something that can be done."""
