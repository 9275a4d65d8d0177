"""Why no layout is possible, by how much, and what would help."""
